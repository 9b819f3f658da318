"""The root's path is what Newton's second law makes of the two feet's forces.

Only sampled forces and sampled positions are taken from the package. SciPy's periodic spline adds the
feet up and integrates them twice, with no knowledge of the series behind them.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import CubicSpline

SAMPLES = 4096
# The spline's own error at this density, with room: positions in m, mean loads in BW.
POSITION = 1e-9
MEAN_LOAD = 1e-9

SPECS = {
    "slow": {"pace": "slow"},
    "ordinary": {"pace": "ordinary"},
    "brisk": {"pace": "brisk"},
    "giantess": {"pace": {"speed": 3.1}, "body": {"mass": 2000, "legLength": 3.6}},
    "long slow steps": {"pace": {"strideLength": 1.5, "strideRate": 0.5}},
    "on the Moon": {"pace": {"speed": 0.6}, "gravity": 1.62},
}


@pytest.fixture(scope="module")
def walks():
    from conftest import run_node

    dumped = run_node("walk-motion.mjs", {"specs": list(SPECS.values()), "samples": SAMPLES})
    return dict(zip(SPECS, dumped))


def periodic(walk, values):
    time = np.append(walk["time"], walk["period"])
    return CubicSpline(time, np.append(values, values[0]), bc_type="periodic")


def total(walk, component):
    return np.array(walk["left"][component]) + np.array(walk["right"][component])


def integrate_twice(walk, acceleration):
    """The periodic displacement that an acceleration of zero mean causes, its own mean zero."""
    velocity = periodic(walk, acceleration - acceleration.mean()).antiderivative()
    speed = velocity(np.array(walk["time"]))
    place = periodic(walk, speed - speed.mean()).antiderivative()(np.array(walk["time"]))
    return place - place.mean()


@pytest.mark.parametrize("name", SPECS)
def test_the_feet_carry_one_body_weight_on_average(walks, name):
    walk = walks[name]
    load = periodic(walk, total(walk, "vertical"))
    mean = quad(load, 0, walk["period"], epsabs=1e-12, epsrel=1e-12, limit=2000)[0] / walk["period"]
    assert abs(mean - 1) <= MEAN_LOAD


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("component, channel", [("vertical", "height"), ("forward", "forward"), ("side", "side")])
def test_the_forces_integrate_to_the_path(walks, name, component, channel):
    walk = walks[name]
    weight = 1 if component == "vertical" else 0
    moved = integrate_twice(walk, walk["gravity"] * (total(walk, component) - weight))
    path = np.array(walk[channel])
    if channel == "forward":
        path = path - walk["speed"] * np.array(walk["time"])
    assert np.max(np.abs(path - path.mean() - moved)) <= POSITION * max(1, np.ptp(path))
    assert np.ptp(path) > 1e-3
