"""Another reader of JSON Schema agrees with ours about what is a motion document.

Our reader walks the schema with its own small interpreter and then checks what a schema cannot say, so it
may refuse more; it must never accept what the schema refuses.
"""

import pytest
from jsonschema import Draft202012Validator


@pytest.fixture(scope="module")
def dumped():
    from conftest import run_node

    return run_node("document.mjs")


def test_the_schema_is_one(dumped):
    Draft202012Validator.check_schema(dumped["schema"])


def test_a_document_is_valid(dumped):
    errors = list(Draft202012Validator(dumped["schema"]).iter_errors(dumped["document"]))
    assert errors == []


def test_no_bent_document_passes_ours_and_not_the_schema(dumped):
    validator = Draft202012Validator(dumped["schema"])
    assert len(dumped["copies"]) > 400
    refused = 0
    for case in dumped["copies"]:
        theirs = validator.is_valid(case["copy"])
        refused += not theirs
        assert theirs or not case["ours"], (case["path"], case.get("bent"))
    # Most bends are of the kind that a schema sees.
    assert refused > 0.7 * len(dumped["copies"])
