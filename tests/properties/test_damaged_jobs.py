"""A damaged job is told of, whatever the damage: nothing but InputError ever comes out."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given, settings

from damage import damaged
from wainscot import job as jobs
from wainscot import plan, signs
from wainscot.errors import InputError


@settings(max_examples=150, deadline=None)
@given(damaged())
def test_plan_and_signs_tell_what_is_wrong_with_a_damaged_job(house: dict[str, Any]) -> None:
    try:
        job = jobs.read(json.dumps(house))
    except InputError:
        return
    faults = [*jobs.faults(job), *plan.faults(job), *signs.faults(jobs.sound(job))]
    assert all(fault.path and fault.what and fault.cure for fault in faults)
    if not faults:
        plan.read(job)
        assert sum(weight for _, weight, _ in plan.hypotheses(job)) > 0
