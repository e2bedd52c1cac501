"""The shipped schemas are what the structs say, and another library reads them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import houses
from wainscot.schema import SCHEMAS, rendered, text_of

BAD_JOBS = Path(__file__).parent / "bad_jobs"


def _validator(name: Any) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json.loads(text_of(name)))


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_shipped_schema_is_up_to_date(name: Any) -> None:
    assert text_of(name) == rendered(SCHEMAS[name]()), "run python -m wainscot.schema"


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_schema_is_one_by_its_own_standard(name: Any) -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(text_of(name)))


@pytest.mark.parametrize("house", [houses.bungalow, houses.semi, houses.ranch])
def test_jsonschema_accepts_the_houses(house: Any) -> None:
    assert list(_validator("job").iter_errors(house())) == []


# Faults of shape, which a schema can see; references, outlines and ranges it cannot.
@pytest.mark.parametrize(
    "name",
    [
        "fact_of_no_basis", "fact_without_value", "missing_field", "newer_version", "no_kind",
        "no_version", "null_name", "number_for_name", "point_of_three", "suspect_of_no_kind",
        "text_for_flag", "unknown_field", "unknown_header", "unknown_kind", "unknown_units",
    ],
)  # fmt: skip
def test_jsonschema_refuses_what_has_the_wrong_shape(name: str) -> None:
    broken = json.loads((BAD_JOBS / f"{name}.json").read_text(encoding="utf-8"))
    assert not _validator("job").is_valid(broken)
