"""Six small C3D files of one invented trial, and what they hold, from a writer of its own in numpy:

    python3 tests/generators/c3d_files.py            writes tests/capture/c3d/files/*.c3d and tests/references/c3d-made-trial.json
    python3 tests/generators/c3d_files.py FILE.c3d   reads any C3D file and prints it as JSON (points, analog, labels)

Nothing here is shared with src/: layout, number formats, force-plate channels and the way back are written down again, from the
public description of the format (c3d.org). The trial is synthetic: five points and four force plates, of types 1, 2, 3 and 4,
each turned another way, under known forces.
"""

import json
import pathlib
import struct
import sys

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
FRAMES, PER_FRAME, RATE, FIRST = 6, 2, 50.0, 11
SCALE = np.float32(0.05)  # mm a count
PROCESSORS = {"intel": 84, "dec": 85, "mips": 86}
LABELS = ["LHIP", "LKNE", "LKNM", "LANK", "CLST"]
KINDS = {"text": -1, "byte": 1, "integer": 2, "float": 4}


class Numbers:
    """Bytes of the numbers of one processor."""

    def __init__(self, processor):
        self.processor = processor
        self.order = ">" if processor == "mips" else "<"

    def integers(self, values):
        return np.asarray(values).astype(np.int64).astype(np.uint16).astype(self.order + "u2").tobytes()

    def floats(self, values):
        single = np.asarray(values, dtype=np.float32).ravel()
        if self.processor != "dec":
            return single.astype(self.order + "f4").tobytes()
        bits = single.view(np.uint32).copy()
        bits[single != 0] += 2 << 23  # VAX: exponent bias 128 and a fraction from 0.5, four times as much in all
        return np.stack([bits >> 16, bits & 0xFFFF], axis=1).astype("<u2").tobytes()

    def read_integers(self, raw, signed=True):
        return np.frombuffer(raw, dtype=self.order + ("i2" if signed else "u2")).astype(float)

    def read_floats(self, raw):
        if self.processor != "dec":
            return np.frombuffer(raw, dtype=self.order + "f4").astype(float)
        words = np.frombuffer(raw, dtype="<u2").reshape(-1, 2).astype(np.uint32)
        return ((words[:, 0] << 16) | words[:, 1]).view(np.float32).astype(float) / 4


def parameter(numbers, name, group, kind, dimensions, values, note=""):
    body = struct.pack("bB", KINDS[kind], len(dimensions)) + bytes(dimensions)
    if kind == "text":
        body += "".join(v.ljust(dimensions[0]) for v in values).encode("ascii")
    elif kind == "integer":
        body += numbers.integers(values)
    else:
        body += numbers.floats(values)
    return record(numbers, name, group, body + bytes([len(note)]) + note.encode("ascii"))


def record(numbers, name, number, body):
    return struct.pack("bb", len(name), number) + name.encode("ascii") + numbers.integers([len(body) + 2]) + body


# --- the invented trial -------------------------------------------------------------------------------------------------

def points():
    """Counts (frame, point, 3), residual and cameras; True where missing."""
    t = np.arange(FRAMES)[:, None, None]
    base = np.array([[300, -900, 18000], [900, -1200, 10000], [880, -400, 9900], [120, -1000, 1700], [-4000, 700, 22000]])
    swing = np.array([[-31, 7, -220], [55, -3, -90], [54, 2, -91], [3, 0, 1], [-12, 5, -300]])
    counts = base[None] + swing[None] * t + (t % 3) * 5
    residual = (np.arange(FRAMES)[:, None] + np.arange(len(LABELS))[None]) % 9
    cameras = (np.arange(FRAMES)[:, None] * 5 + np.arange(len(LABELS))[None] * 11) % 128
    missing = np.zeros((FRAMES, len(LABELS)), bool)
    missing[2, 1] = missing[3, 1] = missing[5, 4] = True
    return counts, residual, cameras, missing


def corners(centre, angle, half_x, half_y):
    """Corners of a plate whose z points down: x turned by `angle` in the floor, y = down x x ... so that x × y points down."""
    x = np.array([np.cos(angle), np.sin(angle), 0.0])
    y = np.cross([0, 0, -1.0], x)
    signs = [(1, 1), (-1, 1), (-1, -1), (1, -1)]
    return np.array([centre + sx * half_x * x + sy * half_y * y for sx, sy in signs]), np.stack([x, y, [0, 0, -1.0]], axis=1)


MATRIX = np.diag([1.5, 1.6, 6.0, 700.0, 720.0, 390.0]) + np.outer([0.01, -0.02, 0.03, 4, -5, 3], [1, -1, 0.5, 0.2, -0.3, 0.4])
PLATES = [
    dict(type=1, centre=[0, 0, 0], angle=0.0, half=(300, 200), origin=[0, 0, 0]),
    dict(type=2, centre=[900, 100, 5], angle=np.pi / 2, half=(232, 254), origin=[-1.5, 0.75, -37.5]),
    dict(type=3, centre=[0, 700, -3], angle=np.pi, half=(200, 300), origin=[120, 200, -54]),
    dict(type=4, centre=[900, 800, 0], angle=0.3, half=(305, 457), origin=[0.5, -1, -59]),
]


def truth(plate, k):
    """Force on the body (N), place (mm) and free moment about the upward vertical (N·mm) in the axes of the file, Z up."""
    s = np.arange(FRAMES * PER_FRAME)
    force = np.stack([20 * np.sin(s + k), 15 * np.cos(0.7 * s - k), 350 + 30 * k + 100 * np.sin(0.5 * s)], axis=1)
    place = np.stack([plate["centre"][0] + 40 * np.cos(s + k), plate["centre"][1] - 60 * np.sin(0.6 * s), np.full(len(s), float(plate["centre"][2]))], axis=1)
    return force, place, 2000 * np.sin(s - k) + 500.0


def channels(plate, force, place, free):
    """What the channels of the plate say of force, place and free moment."""
    _, axes = corners(np.array(plate["centre"], float), plate["angle"], *plate["half"])
    f = force @ axes
    r = (place - plate["centre"]) @ axes  # from the middle of the surface
    torque = np.stack([0 * free, 0 * free, free], axis=1) @ axes
    if plate["type"] == 1:
        return np.column_stack([f, r[:, :2], torque[:, 2]])
    if plate["type"] in (2, 4):
        moment = np.cross(r + plate["origin"], f) + torque  # about the plate's origin
        out = np.column_stack([f, moment])
        return out if plate["type"] == 2 else np.linalg.solve(MATRIX, out.T).T
    a, b, c = plate["origin"]
    moment = np.cross(r + [0, 0, c], f) + torque
    # Sensors at (±a, ±b): a quarter of what is common to all, the rest from the moments.
    x12 = f[:, 0] / 2 - 0.3 * moment[:, 2] / b / 2
    x34 = f[:, 0] / 2 + 0.3 * moment[:, 2] / b / 2
    y14 = f[:, 1] / 2 + 0.7 * moment[:, 2] / a / 2
    y23 = f[:, 1] / 2 - 0.7 * moment[:, 2] / a / 2
    z, mx, my = f[:, 2] / 4, moment[:, 0] / b / 4, moment[:, 1] / a / 4
    return np.column_stack([x12, x34, y14, y23, z + mx - my, z + mx + my, z - mx + my, z - mx - my])


UNITS = {1: ["N"] * 3 + ["mm"] * 2 + ["Nmm"], 2: ["N"] * 3 + ["Nmm"] * 3, 3: ["N"] * 8, 4: ["V"] * 6}


def analog():
    """Counts (sample, channel), scale, units and the channel numbers of each plate."""
    columns, scales, units, numbers = [], [], [], np.zeros((len(PLATES), 8), int)
    for k, plate in enumerate(PLATES):
        values = channels(plate, *truth(plate, k))
        scale = np.float32(np.abs(values).max(axis=0) / 30000)
        numbers[k, : values.shape[1]] = np.arange(values.shape[1]) + len(scales) + 1
        columns.append(np.rint(values / scale) + 7)  # offset 7
        scales += list(scale)
        units += UNITS[plate["type"]]
    return np.column_stack(columns), np.array(scales), units, numbers


# --- the file -----------------------------------------------------------------------------------------------------------

def c3d(processor, floating):
    n = Numbers(processor)
    counts, residual, cameras, missing = points()
    samples, scales, units, numbers = analog()
    channel_count = len(scales)
    scale = -SCALE if floating else SCALE
    plate_corners = np.concatenate([corners(np.array(p["centre"], float), p["angle"], *p["half"])[0].ravel() for p in PLATES])
    matrices = np.zeros((4, 36))
    matrices[3] = MATRIX.T.ravel()  # column after column
    groups = [("POINT", 1), ("ANALOG", 2), ("FORCE_PLATFORM", 3), ("EVENT", 4), ("TRIAL", 5)]
    section = b"".join(record(n, name, -i, b"\x00") for name, i in groups)

    def add(name, group, kind, dimensions, values, note=""):
        nonlocal section
        section += parameter(n, name, group, kind, dimensions, values, note)

    add("USED", 1, "integer", [], [len(LABELS)], "number of points")
    add("FRAMES", 1, "integer", [], [FRAMES])
    add("SCALE", 1, "float", [], [scale])
    add("RATE", 1, "float", [], [RATE])
    add("LABELS", 1, "text", [6, len(LABELS)], LABELS)
    add("UNITS", 1, "text", [4], ["mm"])
    add("DATA_START", 1, "integer", [], [0])
    add("USED", 2, "integer", [], [channel_count])
    add("RATE", 2, "float", [], [RATE * PER_FRAME])
    add("GEN_SCALE", 2, "float", [], [0.5])
    add("SCALE", 2, "float", [channel_count], 2 * scales)
    add("OFFSET", 2, "integer", [channel_count], [7] * channel_count)
    add("LABELS", 2, "text", [4, channel_count], [f"CH{i + 1}" for i in range(channel_count)])
    add("UNITS", 2, "text", [4, channel_count], units)
    add("USED", 3, "integer", [], [len(PLATES)])
    add("TYPE", 3, "integer", [len(PLATES)], [p["type"] for p in PLATES])
    add("CORNERS", 3, "float", [3, 4, len(PLATES)], plate_corners)
    add("ORIGIN", 3, "float", [3, len(PLATES)], np.concatenate([p["origin"] for p in PLATES]))
    add("CHANNEL", 3, "integer", [8, len(PLATES)], numbers.ravel())
    add("ZERO", 3, "integer", [2], [1, 2])
    add("CAL_MATRIX", 3, "float", [6, 6, len(PLATES)], matrices)
    add("USED", 4, "integer", [], [2])
    add("CONTEXTS", 4, "text", [8, 2], ["Left", "General"])
    add("LABELS", 4, "text", [8, 2], ["bottom", "top"])
    add("TIMES", 4, "float", [2, 2], [0, 0.25, 0, 0.3])
    add("ACTUAL_START_FIELD", 5, "integer", [2], [FIRST, 0])
    add("ACTUAL_END_FIELD", 5, "integer", [2], [FIRST + FRAMES - 1, 0])
    section += b"\x00\x00"
    blocks = -(-(4 + len(section)) // 512)
    data_block = 2 + blocks
    # DATA_START is known only now: its value stands after name, pointer, type and dimension count.
    at = section.index(b"DATA_START") + len("DATA_START") + 4
    section = section[:at] + n.integers([data_block]) + section[at + 2 :]
    head = bytes([1, 0x50, blocks, PROCESSORS[processor]]) + section
    header = bytearray(512)
    header[0:2] = bytes([2, 0x50])
    header[2:12] = n.integers([len(LABELS), channel_count * PER_FRAME, FIRST, FIRST + FRAMES - 1, 10])
    header[12:16] = n.floats([scale])
    header[16:20] = n.integers([data_block, PER_FRAME])
    header[20:24] = n.floats([RATE])
    header[298:302] = n.integers([12345, 1])
    header[304:308] = n.floats([0.04])
    header[376] = 1
    header[396:400] = b"RHS "
    data = bytearray()
    for frame in range(FRAMES):
        for point in range(len(LABELS)):
            gone = missing[frame, point]
            fourth = -1 if gone else 256 * cameras[frame, point] + residual[frame, point]
            xyz = np.zeros(3) if gone else counts[frame, point]
            data += n.floats([*(xyz.astype(np.float32) * SCALE), fourth]) if floating else n.integers([*xyz, fourth])
        block = samples[frame * PER_FRAME : (frame + 1) * PER_FRAME].ravel()
        data += n.floats(block) if floating else n.integers(block)
    whole = bytes(header) + head.ljust(512 * blocks, b"\x00") + bytes(data)
    return whole + b"\x00" * (-len(whole) % 512)


def write_all():
    folder = ROOT / "tests/capture/c3d/files"
    for processor in PROCESSORS:
        for floating in (False, True):
            (folder / f"{processor}-{'float' if floating else 'integer'}.c3d").write_bytes(c3d(processor, floating))
    counts, residual, cameras, missing = points()
    samples, scales, _, _ = analog()
    xyz = counts * float(SCALE)
    plates = []
    for k, plate in enumerate(PLATES):
        force, place, free = truth(plate, k)
        plates.append(dict(
            type=plate["type"], force_n=np.round(force, 9).tolist(), place_mm=np.round(place, 9).tolist(), free_nmm=np.round(free, 9).tolist()))
    made = dict(
        source="Closed form: an invented trial, written by tests/generators/c3d_files.py (numpy), which shares no code with the reader",
        provenance="recomputed by tests/generators/c3d_files.py",
        tolerance=dict(point_mm=1e-4, residual_mm=1e-6, analog=1e-6, force_n=0.02, place_mm=0.05, free_nm=0.02),
        toleranceReason="points, residuals and channels: float32 rounding of values up to 1100 mm; forces, places and free moments: half a "
        "count of each channel (1/60000 of its largest value), carried through the plate's geometry",
        frames=FRAMES, rate_hz=RATE, first_frame=FIRST, labels=LABELS,
        cases=[dict(label=label, xyz_mm=[None if missing[f, p] else np.round(xyz[f, p], 6).tolist() for f in range(FRAMES)],
                    residual_mm=[None if missing[f, p] else round(float(residual[f, p] * SCALE), 8) for f in range(FRAMES)],
                    cameras=[None if missing[f, p] else int(cameras[f, p]) for f in range(FRAMES)])
               for p, label in enumerate(LABELS)],
        analog_values=np.round((samples - 7) * scales.astype(float), 9).tolist(),
        force_plates=plates,
    )
    (ROOT / "tests/references/c3d-made-trial.json").write_text(json.dumps(made) + "\n")


# --- reading, to check files written by others --------------------------------------------------------------------------

def read(path):
    raw = pathlib.Path(path).read_bytes()
    at = (raw[0] - 1) * 512
    n = Numbers({v: k for k, v in PROCESSORS.items()}[raw[at + 3]])
    words = n.read_integers(raw[:24], signed=False).astype(int)
    point_count, per_frame, data_block, sample_count = words[1], words[2], words[8], words[9]
    scale = n.read_floats(raw[12:16])[0]
    found, groups, at = {}, {}, at + 4
    while raw[at] != 0:
        length, group = abs(struct.unpack_from("b", raw, at)[0]), struct.unpack_from("b", raw, at + 1)[0]
        name, at = raw[at + 2 : at + 2 + length].decode("latin1"), at + 2 + length
        step = int(n.read_integers(raw[at : at + 2], signed=False)[0])
        if group < 0:
            groups[-group] = name
        else:
            kind, count = struct.unpack_from("b", raw, at + 2)[0], raw[at + 3]
            sizes = list(raw[at + 4 : at + 4 + count])
            body = raw[at + 4 + count :][: int(np.prod(sizes)) * abs(kind)]
            rows = sizes[0] if sizes else 1
            found[group, name] = (
                [body[i : i + rows].decode("utf8").strip() for i in range(0, len(body), rows)] if kind == -1
                else n.read_integers(body).tolist() if kind == 2 else n.read_floats(body).tolist() if kind == 4 else list(body))
        if step == 0:
            break
        at += step
    named = {f"{groups.get(group, '')}:{name}": value for (group, name), value in found.items()}
    frames = int(named["POINT:FRAMES"][0]) & 0xFFFF
    size = 4 if scale < 0 else 2
    begin = (data_block - 1) * 512
    body = raw[begin : begin + frames * (4 * point_count + per_frame) * size]
    table = (n.read_floats(body) if scale < 0 else n.read_integers(body)).reshape(frames, -1)
    block = table[:, : 4 * point_count].reshape(frames, point_count, 4)
    xyz = block[:, :, :3] * (1 if scale < 0 else scale)
    missing = block[:, :, 3] < 0
    channel_count = per_frame // sample_count if sample_count else 0
    return dict(
        frames=frames, rate_hz=float(n.read_floats(raw[20:24])[0]), parameters=named,
        points=[[None if missing[f, p] else xyz[f, p].tolist() for p in range(point_count)] for f in range(frames)],
        analog=table[:, 4 * point_count :].reshape(-1, channel_count).tolist() if channel_count else [])


if __name__ == "__main__":
    if len(sys.argv) > 1:
        json.dump(read(sys.argv[1]), sys.stdout)
    else:
        write_all()
