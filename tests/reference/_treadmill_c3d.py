"""The treadmill recording as the channels of force platforms of each C3D type.

The room: x along the walk, y to the left, z up, in mm. Each belt is a platform whose own z points down and
which measures the foot's force on it, as most do.
"""

import numpy as np

import _treadmill as treadmill

CORNERS_LOCAL = np.array([[1, 1, 0], [-1, 1, 0], [-1, -1, 0], [1, -1, 0]], float)
# Half length and half width of a belt, and its sensors' depth, in mm.
HALF = np.array([900.0, 300.0, 0.0])
DEPTH = 45.0
# A platform's axes in the room, as columns: x forwards, y to the right, z down.
AXES = np.diag([1.0, -1.0, -1.0])
SENSOR_HALF = np.array([800.0, 250.0])
CAL = np.diag([2.0, 2.1, 2.2, 1500.0, 1600.0, 1700.0]) + 0.01


def room(vector):
    """From the data's axes (x along, y up, z right) to the room's."""
    return np.stack([vector[0], -vector[2], vector[1]])


def platform(belt, kind):
    """Channels (6 or 8, samples), their units and the platform's description, for a belt and a type."""
    force, place = treadmill.load()[belt]
    on_plate = AXES.T @ (-room(force))
    middle = np.array([2000.0, 400.0 if belt == 0 else -400.0, 0.0])
    # The data's own z grows to the right from somewhere left of both belts.
    spot = AXES.T @ (room(place) + np.array([[0.0], [1450.0], [0.0]]) - middle[:, None])
    fx, fy, fz = on_plate
    x, y = spot[0], spot[1]
    # About the middle of the surface, without a free moment.
    surface = np.stack([y * fz, -x * fz, x * fy - y * fx])
    origin = np.array([3.0, -2.0, -DEPTH]) if kind in (2, 4) else np.array([0.0, 0.0, -DEPTH])
    # About the sensors, which lie at −origin from the surface: M_sensor = M_surface − F × origin.
    sensor = surface - np.cross(on_plate.T, origin).T
    corners = middle + (AXES @ (CORNERS_LOCAL * HALF).T).T
    base = {"type": kind, "corners": corners, "origin": origin}
    if kind == 1:
        return np.stack([fx, fy, fz, x, y, 0 * x]), ["N", "N", "N", "mm", "mm", "Nmm"], base
    if kind == 2:
        return np.concatenate([on_plate, sensor]), ["N"] * 3 + ["Nmm"] * 3, base
    if kind == 4:
        raw = np.linalg.solve(CAL, np.concatenate([on_plate, sensor]))
        return raw, ["V"] * 6, base | {"cal": CAL}
    a, b = SENSOR_HALF
    mx, my = sensor[0] / (4 * b), sensor[1] / (4 * a)
    four = [fz / 4 + mx - my, fz / 4 + mx + my, fz / 4 - mx + my, fz / 4 - mx - my]
    channels = np.stack([fx / 2, fx / 2, fy / 2, fy / 2, *four])
    return channels, ["N"] * 8, base | {"origin": np.array([a, b, -DEPTH])}


def both(kind):
    """Channels, units and platforms of the two belts as one file has them."""
    channels, units, plates = [], [], []
    at = 1
    for belt in (0, 1):
        signals, names, plate = platform(belt, kind)
        plates.append(plate | {"channels": list(range(at, at + len(signals)))})
        at += len(signals)
        channels.append(signals)
        units += names
    return np.concatenate(channels), units, plates


def write_with_ezc3d(path, kind=2):
    import ezc3d

    channels, units, plates = both(kind)
    file = ezc3d.c3d()
    file["parameters"]["POINT"]["RATE"]["value"] = [100.0]
    file["parameters"]["POINT"]["UNITS"]["value"] = ["mm"]
    file["parameters"]["POINT"]["LABELS"]["value"] = ["HIP"]
    file["parameters"]["ANALOG"]["RATE"]["value"] = [300.0]
    file["parameters"]["ANALOG"]["LABELS"]["value"] = [f"CH{i + 1}" for i in range(len(channels))]
    file["parameters"]["ANALOG"]["UNITS"]["value"] = units
    frames = channels.shape[1] // 3
    file["data"]["points"] = np.tile(np.array([[100.0], [200.0], [900.0], [1.0]])[:, :, None], (1, 1, frames))
    file["data"]["analogs"] = channels[None, :, : 3 * frames]
    file.add_parameter("FORCE_PLATFORM", "USED", [2])
    file.add_parameter("FORCE_PLATFORM", "TYPE", [kind, kind])
    file.add_parameter("FORCE_PLATFORM", "ZERO", [0, 0])
    file.add_parameter("FORCE_PLATFORM", "CHANNEL", np.array([p["channels"] for p in plates], float).T)
    corners = np.array([np.transpose(p["corners"]) for p in plates]).transpose(1, 2, 0)
    file.add_parameter("FORCE_PLATFORM", "CORNERS", corners)
    file.add_parameter("FORCE_PLATFORM", "ORIGIN", np.array([p["origin"] for p in plates]).T)
    file.write(str(path))
