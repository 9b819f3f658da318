"""Loops of bouncing parts and strands are what SciPy's integrator stays on and comes back to.

Only states at a few moments are taken from the package. The equations are put together here from the
positions of the rods' centres, not from the package's moments, and integrated by DOP853.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import eigh

G = 9.80665
# The bars, as parts of the answer's size: linear loops, and the full equations.
LINEAR = 1e-8
FULL = 1e-5

PERIOD = 1.1
HEIGHT = {"period": PERIOD, "mean": 0.9, "drift": 0, "cos": [0.004, -0.012, 0.0006, 0.0008], "sin": [-0.003, -0.009, 0.0004, 0.001]}
SIDE = {"period": PERIOD, "mean": 0, "drift": 0, "cos": [0.012, 0, 0.002], "sin": [0.006, 0.003, 0]}
PARTS = [0, 0.35, 0.6, 1]

SEAMS = [1 + sign * 10.0**-k for k in (1, 2, 4, 6, 8, 10, 12, 14, 16) for sign in (-1, 1)]
ZETAS = [1e-3, 0.05, 0.2155, 0.7, 1.0, 1.5, 2.0, 2.5, 5.0] + SEAMS
BOUNCES = [
    {"frequencyHz": 2.3, "dampingRatio": zeta, "dampedBy": tied} for zeta in ZETAS for tied in ("parent", "air")
]
STRANDS = [
    {"part": {"length": 0.3, "links": links, "taper": 0.6, "tipMass": 0.1, "dampingRatio": zeta, "dampedBy": tied}, "model": model}
    for links, zeta, tied in [
        (1, 0.2, "parent"),
        (3, 0.05, "parent"),
        (3, 0.2, "air"),
        (3, 1.0, "parent"),
        (6, 0.2, "parent"),
        (6, 0.3, "air"),
        (3, 5.0, "parent"),
    ]
    for model in ("small", "full")
]


def wave(series, t, order):
    """The series' derivative of an order at t."""
    total = 0.0
    for k, (a, b) in enumerate(zip(series["cos"], series["sin"]), start=1):
        w = 2 * np.pi * k / series["period"]
        turned = w * t + order * np.pi / 2
        total += w**order * (a * np.cos(turned) + b * np.sin(turned))
    return total


@pytest.fixture(scope="module")
def loops():
    from conftest import run_node

    driver = {"height": HEIGHT, "side": SIDE}
    return run_node("secondary-loops.mjs", {"driver": driver, "bounces": BOUNCES, "strands": STRANDS, "parts": PARTS})


def integrate(f, start, span):
    done = solve_ivp(f, (0, span), start, method="DOP853", rtol=1e-12, atol=1e-14)
    assert done.success
    return done.y[:, -1]


def stacked(state):
    return np.array(state["value"] + state["speed"])


@pytest.mark.parametrize("case", range(len(BOUNCES)), ids=lambda i: f"{BOUNCES[i]['dampingRatio']}-{BOUNCES[i]['dampedBy']}")
def test_a_bounce_is_on_its_loop(loops, case):
    part = BOUNCES[case]
    omega, zeta = 2 * np.pi * part["frequencyHz"], part["dampingRatio"]
    air = part["dampedBy"] == "air"

    def f(t, y):
        carried = wave(HEIGHT, t, 1) if air else 0
        return [y[1], -2 * zeta * omega * (y[1] + carried) - omega**2 * y[0] - wave(HEIGHT, t, 2)]

    states = loops["bounces"][case]
    size = max(abs(s["value"][0]) for s in states)
    speed = size * omega
    for at, state in zip(PARTS[1:], states[1:]):
        there = integrate(f, stacked(states[0]), at * PERIOD)
        assert abs(there[0] - state["value"][0]) <= LINEAR * size
        assert abs(there[1] - state["speed"][0]) <= LINEAR * speed
    slowest = zeta * omega if zeta < 1 else omega / (zeta + np.sqrt((zeta - 1) * (zeta + 1)))
    periods = int(np.ceil(np.log(1e10) / (slowest * PERIOD)))
    if periods <= 40:
        run_in = integrate(f, [0, 0], periods * PERIOD)
        assert abs(run_in[0] - states[0]["value"][0]) <= LINEAR * size


def rods(part):
    n, length = part["links"], part["length"]
    mass = np.array([part["taper"] ** ((i + 0.5) / n) for i in range(n)])
    mass /= mass.sum()
    each = length / n
    # Rows: how far each mass point moves per link's turning, to first order; the last row is the tip's mass.
    reach = np.array([[each if i < k else each / 2 if i == k else 0 for i in range(n)] for k in range(n)] + [[each] * n])
    weights = np.append(mass, part["tipMass"])
    spin = np.diag(mass * each**2 / 12)
    return reach, weights, spin


def equations(part, full):
    reach, weights, spin = rods(part)
    n = part["links"]
    still = reach.T @ (weights[:, None] * reach) + spin
    hang = np.diag((weights @ reach) * G)
    omega = np.sqrt(eigh(hang, still, eigvals_only=True)[0])
    air = part["dampedBy"] == "air"
    alpha = 2 * part["dampingRatio"] * omega if air else 0
    damping = 0 * hang if air else hang * 2 * part["dampingRatio"] / omega

    def f(t, y):
        x, v = y[:n], y[n:]
        push = np.array([wave(SIDE, t, 2) + alpha * wave(SIDE, t, 1), wave(HEIGHT, t, 2) + alpha * wave(HEIGHT, t, 1)])
        if full:
            # Sideways and upward displacement of each mass point per turning, and what turning adds to that.
            jx, jz = reach * np.cos(x), reach * np.sin(x)
            mass = jx.T @ (weights[:, None] * jx) + jz.T @ (weights[:, None] * jz) + spin
            turning_x, turning_z = -(reach * np.sin(x)) @ v**2, (reach * np.cos(x)) @ v**2
            force = -jx.T @ (weights * (turning_x + push[0] + alpha * (jx @ v)))
            force -= jz.T @ (weights * (turning_z + push[1] + G + alpha * (jz @ v)))
            force -= alpha * spin @ v
        else:
            mass = still
            force = -(weights @ reach) * ((G + push[1]) * x + push[0]) - alpha * still @ v
        return np.append(v, np.linalg.solve(mass, force - damping @ v))

    return f, omega


@pytest.mark.parametrize(
    "case", range(len(STRANDS)), ids=lambda i: f"{STRANDS[i]['part']['links']}-{STRANDS[i]['part']['dampingRatio']}-{STRANDS[i]['model']}"
)
def test_a_strand_is_on_its_loop(loops, case):
    part, model = STRANDS[case]["part"], STRANDS[case]["model"]
    answer = loops["strands"][case]
    assert answer["cycles"] == 1
    states = answer["states"]
    f, omega = equations(part, model == "full")
    bar = FULL if model == "full" else LINEAR
    size = max(max(map(abs, s["value"])) for s in states)
    for at, state in zip(PARTS[1:], states[1:]):
        there = integrate(f, stacked(states[0]), at * PERIOD)
        gap = there - stacked(state)
        n = part["links"]
        assert np.abs(gap[:n]).max() <= bar * size
        assert np.abs(gap[n:]).max() <= bar * size * omega * 10
