"""The treadmill recording, as the package reads it, against NumPy and SciPy, in every number format.

`_treadmill.py` measures the table without the package. `_treadmill_c3d.py` and `_c3d_bytes.py` write the same
recording as C3D; ezc3d writes it too, and ezc3d and the c3d package read the byte-writer's files back.
"""

import json
import warnings

import c3d
import ezc3d
import numpy as np
import pytest

import _c3d_bytes as c3d_bytes
import _treadmill as treadmill
import _treadmill_c3d as treadmill_c3d

# Both sides do the same arithmetic on a table; what is left is rounding.
SAME = 1e-9
# Floats of 32 bits hold 24: forces of 700 N to 4e-5 N, added up over four corners or a calibration.
FLOATS = 2e-6
# 16-bit integers: a step of 700 N / 32000 = 0.02 N in 100 N of braking.
INTEGERS = 5e-4
MEASURES = ["contactTime", "firstPeak", "trough", "secondPeak", "braking", "propulsion"]
TIMES = ["firstPeakAt", "troughAt", "secondPeakAt", "brakingAt", "propulsionAt"]
FORMATS = [
    (kind, processor, integer, unsigned)
    for kind in (1, 2, 3, 4)
    for processor in ("intel", "mips", "dec")
    for integer, unsigned in ((False, False), (True, False), (True, True))
]


@pytest.fixture(scope="module")
def expected():
    return treadmill.measure()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("c3d")
    for kind in (1, 2, 3, 4):
        channels, units, plates = treadmill_c3d.both(kind)
        for k, processor, integer, unsigned in FORMATS:
            if k == kind:
                c3d_bytes.write_c3d(
                    folder / name_of(k, processor, integer, unsigned),
                    processor=processor,
                    integer=integer,
                    unsigned=unsigned,
                    channels=channels,
                    units=units,
                    plates=plates,
                )
    treadmill_c3d.write_with_ezc3d(folder / "ezc3d.c3d")
    return folder


def name_of(kind, processor, integer, unsigned):
    return f"{kind}-{processor}-{'unsigned' if unsigned else 'integer' if integer else 'float'}.c3d"


@pytest.fixture(scope="module")
def readings(folder):
    from conftest import run_node

    names = ["ezc3d.c3d"] + [name_of(*form) for form in FORMATS]
    files = [{"path": str(treadmill.FIXTURE), "options": {"rate": 300}}]
    files += [{"path": str(folder / name), "options": {}} for name in names]
    return dict(zip(["table"] + names, run_node("plates.mjs", {"files": files})))


def check(reading, expected, tolerance):
    assert reading["landings"] == expected["landings"]
    assert reading["steps"] == expected["steps"]
    assert reading["bodyWeight"] == pytest.approx(expected["bodyWeight"], rel=tolerance)
    assert reading["strideTime"] == pytest.approx(expected["strideTime"], rel=tolerance)
    for name in MEASURES:
        assert reading["mean"][name] == pytest.approx(expected["mean"][name], rel=tolerance), name
    for name in TIMES:
        # A flat peak may move by a sample where a reading is rounded.
        assert reading["mean"][name] == pytest.approx(expected["mean"][name], abs=max(tolerance, 0)), name


def test_the_table_measures_what_scipy_measures(readings, expected):
    check(readings["table"], expected, SAME)
    for foot in ("left", "right"):
        whole = [(c["land"], c["lift"]) for c in readings["table"]["contacts"] if c["foot"] == foot and c["whole"]]
        assert np.allclose(whole, expected[foot]["contacts"], rtol=0, atol=SAME)


def test_the_committed_numbers_are_these(expected):
    stored = json.loads((treadmill.FIXTURE.parent / "treadmill-1.30.reference.json").read_text())
    for name in MEASURES + TIMES:
        assert stored["mean"][name] == pytest.approx(expected["mean"][name], rel=SAME)


def test_what_ezc3d_writes_measures_the_same(readings, expected):
    check(readings["ezc3d.c3d"], expected, FLOATS)


@pytest.mark.parametrize("form", FORMATS, ids=lambda form: name_of(*form))
def test_every_number_format_measures_the_same(readings, expected, form):
    check(readings[name_of(*form)], expected, INTEGERS if form[2] else FLOATS)


@pytest.mark.parametrize("form", FORMATS, ids=lambda form: name_of(*form))
def test_other_readers_find_the_same_channels(folder, form):
    channels, _, _ = treadmill_c3d.both(form[0])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with open(folder / name_of(*form), "rb") as file:
            read = np.concatenate([analog for _, _, analog in c3d.Reader(file).read_frames()], axis=1)
    size = np.abs(channels).max(axis=1, keepdims=True) + 1e-9
    assert np.max(np.abs(read - channels) / size) < (2e-5 if form[2] else 1e-6)


@pytest.mark.parametrize("form", [f for f in FORMATS if f[1] != "mips" and not f[3]], ids=lambda form: name_of(*form))
def test_ezc3d_computes_the_same_forces_and_centres_of_pressure(folder, readings, form):
    # ezc3d reads neither big-endian files nor unsigned samples. Compared where the low-pass and the thresholds do nothing much:
    # in the middle of the contacts, as means.
    platform = ezc3d.c3d(str(folder / name_of(*form)), extract_forceplat_data=True)["data"]["platform"]
    reading = readings[name_of(*form)]
    for foot, belt in (("left", 0), ("right", 1)):
        vertical = np.array(reading[foot]["vertical"]) * reading["bodyWeight"]
        middle = vertical > 0.6 * reading["bodyWeight"]
        assert middle.sum() > 1000
        force = -platform[belt]["force"][:, middle]
        place = platform[belt]["center_of_pressure"][:, middle] / 1000
        assert abs(force[2].mean() / vertical[middle].mean() - 1) < 2e-3
        pressure = reading["pressure"][foot]
        assert abs(place[0].mean() - np.array(pressure["forward"])[middle].mean()) < 2e-3
        assert abs(place[1].mean() - np.array(pressure["side"])[middle].mean()) < 2e-3
