"""Compile the inner loops right after installing, as pip compiles modules: the first real run then starts at once.

The compiler keeps what it made beside the modules, so that an example assessed once and the loads of a vehicle with
wheels and springs are enough.
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from printworthy import demo, dossier, flow, workspace
from printworthy.workspace.cache import Cache

if __name__ == "__main__":
    with TemporaryDirectory() as temporary:
        folder = Path(temporary) / "example"
        workspace.new(folder)
        job = flow.read(folder)
        done, fields = flow.assess(job, Cache(folder / ".cache"), lambda part, stage, share: None)
        dossier.write(done, fields, job, folder / "dossier", {})
        vehicle = Path(temporary) / "vehicle"
        demo.build(vehicle, workers=None)
        flow.read(vehicle)
