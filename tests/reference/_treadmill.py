"""What the treadmill recording measures, worked out with NumPy and SciPy alone.

Run as a script it prints the numbers as JSON; `tests/fixtures/treadmill-1.30.reference.json` holds them.
Axes as the data's authors state them: x along the walk, y up, z to the right; belt 1 is under the left foot.
"""

import json
import pathlib

import numpy as np
from scipy.integrate import trapezoid
from scipy.signal import butter, sosfiltfilt

FIXTURE = pathlib.Path(__file__).parent.parent / "fixtures" / "treadmill-1.30.tsv"
RATE = 300.0
LAND = 20.0
LIFT = 10.0
CUTOFF = 20.0


def load():
    table = np.genfromtxt(FIXTURE, delimiter="\t", names=True)
    belts = []
    for belt in "12":
        force = np.stack([table[f"F{axis}{belt}"] for axis in "xyz"])
        place = np.stack([table[f"COP{axis}{belt}"] for axis in "xyz"])
        belts.append((force, place))
    return belts


def smooth(x):
    # Two passes of a second-order filter halve the power at CUTOFF when each one's corner is warped up.
    corner = RATE / np.pi * np.arctan(np.tan(np.pi * CUTOFF / RATE) / (np.sqrt(2) - 1) ** 0.25)
    return sosfiltfilt(butter(2, corner, fs=RATE, output="sos"), x)


def contacts(vertical):
    """Half-open lists of (landing, lifting) in s of the contacts that lie whole on the record."""
    above = vertical >= LAND
    loaded = np.zeros(len(vertical), bool)
    state = above[0]
    for i, v in enumerate(vertical):
        state = (v >= LIFT) if state else above[i]
        loaded[i] = state
    edges = np.flatnonzero(np.diff(loaded.astype(int)))
    found = []
    start = None
    for i in edges:
        if loaded[i + 1]:
            start = (i + (LAND - vertical[i]) / (vertical[i + 1] - vertical[i])) / RATE
        elif start is not None:
            end = (i + (LIFT - vertical[i]) / (vertical[i + 1] - vertical[i])) / RATE
            if end - start > 0.15:
                found.append((start, end))
            start = None
    return found, start


def measure():
    belts = load()
    signals = [smooth(force) for force, _ in belts]
    left, right = signals
    landings = {}
    steps = []
    lists = []
    for belt, signal in enumerate(signals):
        found, hanging = contacts(signal[1])
        lists.append(found)
        starts = [start for start, _ in found] + ([hanging] if hanging is not None else [])
        landings[belt] = starts
    # The weight is the mean load over the whole strides of the foot that spans more of the record.
    belt = max((0, 1), key=lambda b: landings[b][-1] - landings[b][0])
    first, last = landings[belt][0], landings[belt][-1]
    time = np.arange(left.shape[1]) / RATE
    span = (time >= first) & (time < last)
    weight = float(np.mean(left[1][span] + right[1][span]))
    for signal, found in zip(signals, lists):
        for start, end in found:
            inside = (time >= start) & (time <= end)
            t = (time[inside] - start) / (end - start)
            up = signal[1][inside] / weight
            along = signal[0][inside] / weight
            one = np.argmax(np.where(t <= 0.5, up, -1))
            three = np.argmax(np.where(t >= 0.5, up, -1))
            two = one + np.argmin(up[one : three + 1])
            steps.append(
                {
                    "contactTime": end - start,
                    "firstPeak": up[one],
                    "firstPeakAt": t[one],
                    "trough": up[two],
                    "troughAt": t[two],
                    "secondPeak": up[three],
                    "secondPeakAt": t[three],
                    "braking": -along.min(),
                    "brakingAt": t[along.argmin()],
                    "propulsion": along.max(),
                    "propulsionAt": t[along.argmax()],
                    "brakingImpulse": trapezoid(np.minimum(along, 0), dx=1 / RATE),
                    "propulsionImpulse": trapezoid(np.maximum(along, 0), dx=1 / RATE),
                    "verticalImpulse": trapezoid(up, dx=1 / RATE),
                }
            )
    strides = np.concatenate([np.diff(landings[b]) for b in (0, 1)])
    return {
        "bodyWeight": weight,
        "landings": sum(len(starts) for starts in landings.values()),
        "steps": len(steps),
        "strideTime": float(strides.mean()),
        "left": {"landings": landings[0], "contacts": lists[0]},
        "right": {"landings": landings[1], "contacts": lists[1]},
        "mean": {name: float(np.mean([step[name] for step in steps])) for name in steps[0]},
        "spread": {name: float(np.std([step[name] for step in steps], ddof=1)) for name in steps[0]},
    }


if __name__ == "__main__":
    print(json.dumps(measure(), indent=1))
