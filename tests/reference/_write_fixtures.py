"""Writes the C3D fixtures of the TypeScript tests: the recording whole by ezc3d, and its first seconds by
the byte-writer in number formats that ezc3d does not write. Run it by hand; the files are committed."""

import pathlib

import _c3d_bytes
import _treadmill_c3d

FOLDER = pathlib.Path(__file__).parent.parent / "fixtures"
SAMPLES = 1500

if __name__ == "__main__":
    _treadmill_c3d.write_with_ezc3d(FOLDER / "treadmill-1.30.c3d")
    for kind, processor, integer, unsigned in (
        (1, "intel", True, True),
        (2, "intel", False, False),
        (3, "mips", True, False),
        (4, "dec", False, False),
    ):
        channels, units, plates = _treadmill_c3d.both(kind)
        name = f"treadmill-5s-type{kind}-{processor}-{'integer' if integer else 'float'}.c3d"
        _c3d_bytes.write_c3d(
            FOLDER / name,
            processor=processor,
            integer=integer,
            unsigned=unsigned,
            channels=channels[:, :SAMPLES],
            units=units,
            plates=plates,
        )
