"""A workspace as one archive, and back: every file with its hash, the records as one whole copy."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from printworthy.errors import NotComputed, Place, TextError
from printworthy.records.store import FILE, opened

MANIFEST = "MANIFEST.json"
FORMAT = "printworthy workspace 1"
LEFT_OUT = ("dossier",)  # written anew from the rest; hidden files and folders are left out too
LARGEST = 2_000_000_000  # [bytes] unpacked
EARLIEST = (1980, 1, 1, 0, 0, 0)  # the same files give the same archive


def export(root: Path, path: Path) -> int:
    """Write the workspace into `path`; how many files. Raises TextError for a folder without vehicle.toml, or a link
    that leads out of it; OSError where the archive cannot be written."""
    if not (root / "vehicle.toml").is_file():
        raise TextError("holds no vehicle.toml", where=Place(root), do="Name a workspace folder")
    aside = path.with_name(f".{path.name}.part")
    try:
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".printworthy-") as scratch:
            files = dict(_files(root, path))
            if FILE in files:
                files[FILE] = _copy(root, Path(scratch) / FILE)
            _write(aside, files)
        aside.replace(path)
    finally:
        aside.unlink(missing_ok=True)
    return len(files)


def unpack(path: Path, root: Path) -> int:
    """Write an archive into the new folder `root`, all of it or nothing; how many files.

    Raises TextError for a folder that holds something, a file that is no such archive, or one whose hash is wrong.
    """
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise TextError("holds something already", where=Place(root), do="Name a new folder")
    root.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(dir=root.parent, prefix=f".{root.name}-"))
    try:
        with zipfile.ZipFile(path) as archive:
            hashes = _manifest(archive, path)
            for name, sha256 in hashes.items():
                _one(archive, name, sha256, aside, path)
        if root.exists():
            root.rmdir()
        aside.replace(root)
    except (zipfile.BadZipFile, KeyError, EOFError, OSError) as error:
        raise TextError(f"is no sound archive: {error}", where=Place(path), do="Export it again") from error
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return len(hashes)


def _files(root: Path, own: Path) -> Iterator[tuple[str, Path]]:
    for at, folders, names in os.walk(root):
        here = Path(at)
        folders[:] = sorted(f for f in folders if not f.startswith(".") and (here / f).relative_to(root).parts[0]
                            not in LEFT_OUT)  # fmt: skip
        for name in sorted(names):
            file = here / name
            if name.startswith(".") or name.startswith(f"{FILE}-") or file.resolve() == own.resolve():
                continue
            if not file.resolve().is_relative_to(root.resolve()):
                raise TextError("leads out of the workspace", where=Place(file), do="Put a copy of the file inside")
            yield file.relative_to(root).as_posix(), file


def _copy(root: Path, target: Path) -> Path:
    """The records as one file, whole although others may be writing."""
    with opened(root) as records, records.engine.connect() as connection:
        raw = connection.connection.driver_connection
        if raw is None:
            raise NotComputed("the records cannot be copied", where=str(root / FILE))
        connection.rollback()
        raw.execute("VACUUM INTO ?", (str(target),))
    return target


def _write(path: Path, files: dict[str, Path]) -> None:
    hashes = {}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, file in files.items():
            data = file.read_bytes()
            hashes[name] = hashlib.sha256(data).hexdigest()
            archive.writestr(zipfile.ZipInfo(name, EARLIEST), data, zipfile.ZIP_DEFLATED)
        text = json.dumps({"format": FORMAT, "sha256": hashes}, indent=1, ensure_ascii=False)
        archive.writestr(zipfile.ZipInfo(MANIFEST, EARLIEST), text, zipfile.ZIP_DEFLATED)


def _manifest(archive: zipfile.ZipFile, path: Path) -> dict[str, str]:
    """Hash by name. Raises TextError where it does not name exactly what the archive holds."""
    try:
        stated = json.loads(archive.read(MANIFEST))
        hashes = dict(stated["sha256"])
        known = stated["format"] == FORMAT
    except (KeyError, ValueError, TypeError) as error:
        raise TextError("has no list of hashes", where=Place(path), do="Export it again") from error
    held = [i for i in archive.infolist() if i.filename != MANIFEST]
    if not known or sorted(i.filename for i in held) != sorted(hashes):
        raise TextError("does not hold what it lists", where=Place(path), do="Export it again")
    if sum(i.file_size for i in held) > LARGEST:
        raise TextError(f"unpacks to more than {LARGEST / 1e9:g} GB", where=Place(path), do="Check where it is from")
    return hashes


def _one(archive: zipfile.ZipFile, name: str, sha256: str, folder: Path, path: Path) -> None:
    inner = PurePosixPath(name)
    if inner.is_absolute() or ".." in inner.parts or "\\" in name or any(p.startswith(".") for p in inner.parts):
        raise TextError(f"holds a file outside a workspace: {name}", where=Place(path), do="Do not use it")
    data = archive.read(name)
    if hashlib.sha256(data).hexdigest() != sha256:
        raise TextError(f"{name} is not what was exported", where=Place(path), do="Fetch or export it again")
    target = folder / name
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(data)
