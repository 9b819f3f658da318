"""Lets a reference check ask the built package for numbers.

`dump("series.mjs", spec)` runs `node tests/reference/series.mjs`, hands it `spec` as JSON on standard
input and returns the JSON that it prints. The scripts import the package by its name, so what is
checked is what users get; run `npm run build` first.
"""

import json
import pathlib
import subprocess

import pytest

HERE = pathlib.Path(__file__).parent


def run_node(script, payload=None):
    done = subprocess.run(
        ["node", str(HERE / script)],
        input=json.dumps(payload),
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, f"{script} failed:\n{done.stderr}"
    return json.loads(done.stdout)


@pytest.fixture
def dump():
    return run_node
