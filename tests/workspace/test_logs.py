"""Measured logs and tables of rides: read with their units, asked about where a unit is missing.

Real tables are those of ../shared/data/coupons (sources in its SOURCES.md); skipped, saying so, where it is absent.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from printworthy.errors import InputError, UnitNeeded
from printworthy.evidence.damage import spectrum
from printworthy.inputs import Density, Duty, Full, Log, Shaking, Trials
from printworthy.ride.spectra import settled
from printworthy.workspace.logs import _course, _statistics

SHARED = Path(__file__).parents[2].parent / "shared/data/coupons"
G = 9806.65


def shared(name: str) -> Path:
    if not (SHARED / name).exists():
        pytest.skip(f"{name} of ../shared/data is absent")
    return SHARED / name


def course(folder: Path, head: str, rows: list[str], column: str = "up", gravity: str | None = "none") -> Log:
    (folder / "a.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return _course(Log(Path("a.csv"), column, Full(3 * G), gravity), folder)  # type: ignore[arg-type]


def rows(values: np.ndarray, step: float = 0.1) -> list[str]:
    return [f"{i * step:.2f},{v:.4f}" for i, v in enumerate(values)]


WAVE = 5 * np.sin(np.arange(41) * np.pi / 5)


def test_units_of_the_heading_are_turned_into_inside_ones(tmp_path: Path) -> None:
    found = course(tmp_path, "time [s],up [m/s^2]", rows(WAVE))
    assert found.quantity == "acceleration"
    assert found.seconds == pytest.approx(4.0)
    assert max(found.turning) == pytest.approx(1000 * WAVE.max(), rel=1e-4)
    in_g = course(tmp_path, "time [ms],up [g]", rows(WAVE))
    assert max(in_g.turning) == pytest.approx(G * WAVE.max(), rel=1e-4)
    assert in_g.seconds == pytest.approx(0.004)
    pull = course(tmp_path, "time [s],up [N]", rows(WAVE), gravity=None)
    assert pull.quantity == "force"
    assert max(pull.turning) == pytest.approx(WAVE.max(), rel=1e-4)


def test_a_column_without_a_unit_is_asked_about_with_what_each_would_mean(tmp_path: Path) -> None:
    with pytest.raises(UnitNeeded) as caught:
        course(tmp_path, "time [s],up", rows(WAVE))
    line = str(caught.value)
    assert "a.csv:1 (up)" in line
    assert "In m/s^2 its peak of 4.76 is 0.485 times gravity" in line
    assert "In g its peak of 4.76 is 4.76 times gravity" in line
    assert '"up [m/s^2]"' in line
    with pytest.raises(UnitNeeded, match=r"In s it lasts 4 s; In ms it lasts 0.004 s"):
        course(tmp_path, "time,up [g]", rows(WAVE))


@pytest.mark.parametrize(
    ("values", "gravity", "line"),
    [
        (WAVE + 9.81, None, r"whether gravity is in the record is not stated; its mean is 1 g"),
        (WAVE, "in it", r'said to be "in it", and its mean is .*not about 1'),
        (WAVE + 9.81, "to add", r'said to be "to add", and its mean is 1 g, not about 0'),
    ],
)
def test_gravity_is_asked_and_must_fit_the_record(
    tmp_path: Path, values: np.ndarray, gravity: str | None, line: str
) -> None:
    with pytest.raises(InputError, match=line):
        course(tmp_path, "time [s],up [m/s^2]", rows(values), gravity=gravity)


def test_gravity_that_was_taken_out_is_put_back(tmp_path: Path) -> None:
    found = course(tmp_path, "time [s],up [m/s^2]", rows(WAVE), gravity="to add")
    assert found.turning[0] == pytest.approx(G)


@pytest.mark.parametrize(
    ("head", "body", "line"),
    [
        ("time [s],down [g]", rows(WAVE), r'a\.csv:1: has no column "up"\. .*Columns are: time \[s\], down \[g\]'),
        ("time [s],up [kg]", rows(WAVE), r'"kg" is not a unit of acceleration'),
        ("up [g]", ["0.1"] * 30, r"has no column time"),
        ("time [s],up [g]", [*rows(WAVE), "0.1,0"], r"a\.csv:43 \(time\): time runs back"),
        ("time [s],up [g]", [*rows(WAVE), "9,zero"], r'a\.csv:43 \(up\): "zero" is not a finite number'),
        ("time [s],up [g]", [*rows(WAVE), "9,1,2"], r"a\.csv:43: has 3 cells under 2 columns"),
        ("time [s];up [g]", ["0;1"] * 30, r"parted by semicolons"),
        ("time [s],up [g]", [*rows(WAVE), "60,0"], r"a\.csv:43 \(time\): time jumps by 56 s among steps of 0\.1 s"),
        ("time [s],up [g]", rows(WAVE, 1.0), r"one reading every 1 s misses what shakes"),
        ("time [s],up [g]", ["1,0"] * 30, r"lasts no time"),
        (
            "time [s],up [g]",
            [*rows(WAVE)[:30], "3.0,nan", *rows(WAVE)[31:]],
            r'a\.csv:32 \(up\): "nan" is not a finite',
        ),
        ("time [s],up [g]", rows(WAVE)[:9], r"holds 9 readings"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(tmp_path: Path, head: str, body: list[str], line: str) -> None:
    with pytest.raises(InputError, match=line):
        course(tmp_path, head, body)


def trials(**only: str) -> Shaking:
    columns = {"rms": "SeatBotacc_ver_rms", "crossings": "Peak Frequency", "peak": "Peak Value", "duration": "Duration"}
    told = Trials(Path("cargo_bike_and_stroller_ride_vibration_trials.csv"), columns,
                  {"SeatBotacc_ver_rms": "m/s^2"}, {"Vehicle Type": "bicycle", **only})  # fmt: skip
    return Shaking("Weibull", Full(3 * G), "to add", 1.0, trials=told)


def test_rides_of_a_cargo_bicycle_give_the_ends_of_their_rows() -> None:
    path = shared("cargo_bike_and_stroller_ride_vibration_trials.csv")
    found = _statistics(trials(**{"Road Surface": "Paver Bricks"}), path.parent)
    lines = [line.split(",") for line in path.read_text().splitlines()]
    kept = [r for r in lines[1:] if r[19] == "bicycle" and r[16] == "Paver Bricks"]
    assert len(kept) > 3
    rms = [float(r[0]) * 1000 for r in kept]
    assert found.rms == pytest.approx((min(rms), max(rms)))
    assert found.crest == pytest.approx((min(c := [float(r[11]) / float(r[0]) for r in kept]), max(c)))


def test_single_blows_of_rides_count_by_their_own_size() -> None:
    path = shared("cargo_bike_and_stroller_ride_vibration_trials.csv")
    found = _statistics(replace(trials(**{"Road Surface": "Paver Bricks"}), model="Rayleigh and peaks"), path.parent)
    assert found.crest is not None
    lines = [line.split(",") for line in path.read_text().splitlines()]
    peaks = [float(r[11]) * 1000 for r in lines[1:] if r[19] == "bicycle" and r[16] == "Paver Bricks"]
    assert found.crest[1] * found.rms[1] == pytest.approx(max(peaks))
    duty = settled(Duty("h", (), "test", shaking=found))
    assert duty is not None
    assert spectrum(duty)[:, 0].max() * 3 * G / 2 == pytest.approx(max(peaks))


def test_a_ride_table_without_a_unit_is_asked_about() -> None:
    path = shared("cargo_bike_and_stroller_ride_vibration_trials.csv")
    asked = trials()
    assert asked.trials is not None
    bare = Trials(asked.trials.file, asked.trials.columns, {}, asked.trials.only)
    with pytest.raises(UnitNeeded, match=r'"SeatBotacc_ver_rms" has no unit\. In m/s\^2 .* In g '):
        _statistics(Shaking("Weibull", Full(3 * G), "to add", 1.0, trials=bare), path.parent)


def test_a_crash_record_without_units_is_asked_about() -> None:
    path = shared("motorcycle_crash_pulse_head_acceleration.csv")
    with pytest.raises(UnitNeeded, match=r"In m/s\^2 its peak of 134 is 13.7 times gravity, a kerb.*In g .*a crash"):
        _course(Log(Path(path.name), "accel", Full(3 * G), "none"), path.parent)


def test_a_spectral_density_needs_both_units() -> None:
    path = shared("vibration_psd_four_channels.csv")
    told = Density(Path(path.name), "ch1", {"f": "Hz"}, 1.4)
    with pytest.raises(UnitNeeded, match=r'"ch1" has no unit\. In \(m/s\^2\)\^2/Hz .*g\^2/Hz'):
        _statistics(Shaking("Dirlik", Full(3 * G), "to add", 1.0, density=told), path.parent)
    with_unit = Density(Path(path.name), "ch1", {"f": "Hz", "ch1": "(m/s^2)^2/Hz"}, 1.4)
    found = _statistics(Shaking("Dirlik", Full(3 * G), "to add", 1.0, density=with_unit), path.parent)
    assert len(found.frequencies) == 4097  # lines that SOURCES.md counts
