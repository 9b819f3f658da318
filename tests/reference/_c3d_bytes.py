"""Writes C3D files byte by byte with `struct`, after the published description of the format (c3d.org).

Nothing of it is shared with the package. Every number format: 16-bit integers and floats, little-endian,
big-endian and DEC; force platforms of type 1 to 4.
"""

import struct

import numpy as np

PROCESSORS = {"intel": 84, "dec": 85, "mips": 86}


class Packer:
    def __init__(self, processor):
        self.processor = processor
        self.order = ">" if processor == "mips" else "<"

    def words(self, values):
        return np.asarray(values).astype(f"{self.order}i2").tobytes()

    def unsigned(self, values):
        return np.asarray(values).astype(f"{self.order}u2").tobytes()

    def floats(self, values):
        if self.processor != "dec":
            return np.asarray(values, float).astype(f"{self.order}f4").tobytes()
        # A VAX F number is four times the IEEE one of the same bits, its 16-bit halves swapped.
        raw = (np.asarray(values, float) * 4).astype("<f4").tobytes()
        halves = np.frombuffer(raw, "<u2").reshape(-1, 2)
        return halves[:, ::-1].tobytes()


def parameter(packer, group, name, value, dimensions=None):
    """One parameter of the section; integers, floats or a list of texts."""
    if isinstance(value, list) and value and isinstance(value[0], str):
        width = max(len(text) for text in value)
        data = "".join(text.ljust(width) for text in value).encode("ascii")
        kind, dims = -1, [width, len(value)]
    elif np.issubdtype(np.asarray(value).dtype, np.integer):
        data, kind = packer.words(np.ravel(value, order="F")), 2
        dims = dimensions if dimensions is not None else list(np.shape(value))
    else:
        data, kind = packer.floats(np.ravel(value, order="F")), 4
        dims = dimensions if dimensions is not None else list(np.shape(value))
    body = struct.pack("b", kind) + bytes([len(dims)]) + bytes(dims) + data + b"\x00"
    return (
        struct.pack("bb", len(name), group)
        + name.encode("ascii")
        + packer.words([len(body) + 2])
        + body
    )


def group(packer, number, name):
    return struct.pack("bb", len(name), -number) + name.encode("ascii") + packer.words([3]) + b"\x00"


def write_c3d(
    path,
    *,
    processor="intel",
    integer=False,
    unsigned=False,
    video_rate=100.0,
    ratio=3,
    channels,
    units,
    plates,
    point_units="mm",
    offset=0,
):
    """`channels` is (count, samples); `plates` a list of dicts type, channels, corners (4, 3), origin, cal."""
    packer = Packer(processor)
    count, samples = channels.shape
    frames = samples // ratio
    scale = np.ones(count)
    stored = channels
    if integer:
        scale = np.maximum(np.abs(channels).max(axis=1), 1e-9) / 32000
        stored = np.rint(channels / scale[:, None])
        if unsigned:
            offset = 32768
        stored = stored + offset
        if not unsigned:
            stored = np.clip(stored, -32768, 32767)
    point_scale = 0.1 if integer else -0.1
    entries = [
        group(packer, 1, "POINT"),
        group(packer, 2, "ANALOG"),
        group(packer, 3, "FORCE_PLATFORM"),
        group(packer, 4, "TRIAL"),
        parameter(packer, 1, "USED", np.int64(1)),
        parameter(packer, 1, "SCALE", point_scale),
        parameter(packer, 1, "RATE", float(video_rate)),
        parameter(packer, 1, "FRAMES", np.int64(frames)),
        parameter(packer, 1, "UNITS", [point_units]),
        parameter(packer, 1, "LABELS", ["HIP"]),
        parameter(packer, 2, "USED", np.int64(count)),
        parameter(packer, 2, "RATE", float(video_rate * ratio)),
        parameter(packer, 2, "GEN_SCALE", 1.0),
        parameter(packer, 2, "SCALE", scale),
        parameter(packer, 2, "OFFSET", np.full(count, offset if offset < 32768 else offset - 65536)),
        parameter(packer, 2, "UNITS", list(units)),
        parameter(packer, 2, "LABELS", [f"CH{i + 1}" for i in range(count)]),
        parameter(packer, 2, "FORMAT", ["UNSIGNED" if unsigned else "SIGNED"]),
        parameter(packer, 3, "USED", np.int64(len(plates))),
        parameter(packer, 3, "TYPE", np.array([plate["type"] for plate in plates])),
        parameter(packer, 3, "ZERO", np.array([0, 0])),
        parameter(packer, 3, "CHANNEL", np.array([plate["channels"] for plate in plates]).T),
        parameter(packer, 3, "CORNERS", np.array([np.transpose(p["corners"]) for p in plates]).transpose(1, 2, 0)),
        parameter(packer, 3, "ORIGIN", np.array([plate["origin"] for plate in plates], float).T),
    ]
    if any("cal" in plate for plate in plates):
        cal = np.array([plate["cal"] for plate in plates]).transpose(1, 2, 0)
        entries.append(parameter(packer, 3, "CAL_MATRIX", cal))
    for name, value in (("ACTUAL_START_FIELD", 1), ("ACTUAL_END_FIELD", frames)):
        entries.append(parameter(packer, 4, name, np.array([value & 0xFFFF, value >> 16])))
    # The last entry before the end mark needs the number of blocks, which needs its size: one more entry.
    sized = b"".join(entries)
    start_entry = parameter(packer, 1, "DATA_START", np.int64(0))
    blocks = -(-(4 + len(sized) + len(start_entry) + 2) // 512)
    data_start = 2 + blocks
    sized += parameter(packer, 1, "DATA_START", np.int64(data_start)) + b"\x00\x00"
    section = (bytes([1, 0x50, blocks, PROCESSORS[processor]]) + sized).ljust(512 * blocks, b"\x00")
    header = bytes([2, 0x50]) + packer.words([1, count * ratio, 1, min(frames, 32767), 0])
    header += packer.floats([point_scale]) + packer.words([data_start, ratio]) + packer.floats([video_rate])
    header = header.ljust(512, b"\x00")
    per_frame = stored[:, : frames * ratio].reshape(count, frames, ratio).transpose(1, 2, 0).reshape(frames, -1)
    marker = np.tile([100.0, 200.0, 900.0, 0.0], (frames, 1))
    if integer:
        analog = packer.unsigned(per_frame) if unsigned else packer.words(per_frame)
        points = packer.words(np.rint(marker / [0.1, 0.1, 0.1, 1]))
    else:
        analog = packer.floats(per_frame)
        points = packer.floats(marker)
    size = 2 if integer else 4
    rows = np.concatenate(
        [
            np.frombuffer(points, np.uint8).reshape(frames, 4 * size),
            np.frombuffer(analog, np.uint8).reshape(frames, per_frame.shape[1] * size),
        ],
        axis=1,
    ).tobytes()
    rows = rows.ljust(-(-len(rows) // 512) * 512, b"\x00")
    with open(path, "wb") as file:
        file.write(header + section + rows)
