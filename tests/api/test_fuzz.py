"""Bodies, parameters and headers made up from the description of the interface: no server error.

schemathesis makes them, valid and broken ones; it reads the description that the app is made from.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from firm import Firm, limited, open_firm
from hypothesis import HealthCheck, settings
from jsonschema import Draft202012Validator

from wainscot.api.openapi import described

TOLD: dict[str, Any] = json.loads(described())
schema = schemathesis.openapi.from_dict(TOLD)


@pytest.fixture(scope="module")
def fuzzed() -> Iterator[Firm]:
    with (
        tempfile.TemporaryDirectory(prefix="wainscot-") as folder,
        open_firm(Path(folder), limits=limited(requests=10**6, tries=10**6)) as firm,
    ):
        firm.desk.walks._started = True  # what is asked for is kept, not calculated
        yield firm


# What the routes do with whatever comes is tried; a whole stream or archive is not waited for.
LEFT_OUT = {"/api/everything", "/api/jobs/{job}/walks/{walk}/progress"}


@schema.parametrize()
@settings(max_examples=8, deadline=None, derandomize=True, database=None,
          suppress_health_check=list(HealthCheck))  # fmt: skip
def test_whatever_is_sent_is_answered(case: schemathesis.Case, fuzzed: Firm) -> None:
    if case.operation.path in LEFT_OUT and case.method == "GET":
        return
    sent = case.as_transport_kwargs(base_url=fuzzed.base)
    headers = {k: v for k, v in dict(sent.get("headers") or {}).items()
               if k.lower() not in ("authorization", "host")}  # fmt: skip
    more = {name: sent[name] for name in ("params", "json", "data", "content") if sent.get(name)}
    if isinstance(more.get("data"), bytes | str):
        more["content"] = more.pop("data")
    path = case.formatted_path.replace("//", "/none/")
    for name in ("", "Ann", "Olga"):
        try:
            got = fuzzed.ask(name, case.method, path, headers=headers, **more)
        except (UnicodeError, ValueError, TypeError):  # the client cannot even send it
            continue
        assert got.status_code < 500, fuzzed.log()[-2]
        if got.status_code >= 400 and case.method != "HEAD":
            assert got.headers["content-type"] == "application/problem+json"
            assert got.json()["request"]


def test_every_answer_is_described() -> None:
    for path, operations in TOLD["paths"].items():
        for method, one in operations.items():
            good = [code for code in one["responses"] if code.startswith("2")]
            assert good, (method, path)
            assert {"401", "403", "413", "422", "429"} <= one["responses"].keys()


def test_the_description_refers_to_nothing_that_is_not_there() -> None:
    text = json.dumps(TOLD)
    for name in {part.split('"')[0] for part in text.split('"#/components/schemas/')[1:]}:
        assert name in TOLD["components"]["schemas"]
    assert "$defs" not in text
    names = [one["operationId"] for ops in TOLD["paths"].values() for one in ops.values()]
    assert len(names) == len(set(names))


def test_what_is_answered_is_what_was_described(fuzzed: Firm) -> None:
    """JSON Schema 2020-12, which OpenAPI 3.1 uses."""
    for path in (
        "/api/jobs", "/api/jobs/{job}", "/api/jobs/{job}/events", "/api/status", "/api/devices",
        "/api/accounts", "/api/me", "/api/health", "/api/events",
    ):  # fmt: skip
        said = TOLD["paths"][path]["get"]["responses"]["200"]["content"]["application/json"]
        got = fuzzed.ask("Olga", "GET", path.replace("{job}", "job_a"))
        assert got.status_code == 200
        validator = Draft202012Validator({**said["schema"], "components": TOLD["components"]})
        assert list(validator.iter_errors(got.json())) == [], path
