"""Whatever traps did, and in whatever order it was logged, there is a statement and it is one."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from houses import as_job, bungalow
from wainscot.all_clear import AllClear, all_clear, how_many, next_round
from wainscot.all_clear.of_job import ENDS_IT
from wainscot.job import Job
from wainscot.sealing import Terms
from wainscot.walk import Walk, check, walk


@cache
def _walked() -> Walk:
    return walk(as_job(bungalow()), draws=256, checks=False, closing=Terms())


days = st.builds(
    lambda day, time: f"2026-03-{day:02d}{time}",
    st.integers(1, 20), st.sampled_from(["", "T08:00:00+00:00", "T17:30:00+00:00"]),
)  # fmt: skip
places = st.sampled_from([{"of": "kitchen"}, {"storey": "ground", "at": [1, 1]}])
STATES = ["set", "caught", "sprung", "other", "missing", "bait taken"]


@st.composite
def logged(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a seal or none, up to three traps, and looks at them in any order."""
    found: dict[str, Any] = {}
    if draw(st.booleans()):
        found["seal"] = {"kind": "seal", "closes": "x", "material": "mortar", "by": "Crew",
                         "photo": "p", "at": draw(days)}  # fmt: skip
    for n in range(draw(st.integers(0, 3))):
        found[f"t{n}"] = {"kind": "trap", "place": draw(places), "at": draw(days)}
        for c in range(draw(st.integers(0, 4))):
            found[f"t{n}_c{c}"] = {
                "kind": "trap_check", "trap": f"t{n}", "at": draw(days),
                "state": draw(st.sampled_from(STATES)), "count": draw(st.integers(1, 6)),
                "species": draw(st.sampled_from(["", "norway rat", "house mouse"])),
                "taken_up": draw(st.booleans()),
            }  # fmt: skip
    return found


def _cleared(job: Job) -> AllClear:
    walked, survey = _walked(), _walked().survey
    assert walked.drawn is not None
    assert walked.sealing is not None
    return all_clear(job, survey.plan, survey.graph, walked.drawn, walked.sealing)


@pytest.mark.parametrize("later", [False, True])
def test_a_catch_on_the_day_a_trap_was_set_is_a_catch_of_the_first_night(later: bool) -> None:
    document = bungalow()
    trap = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-02"}
    document["entities"] |= {
        "t1": trap, "t1_c": {"kind": "trap_check", "trap": "t1", "at": "2026-03-02",
                             "state": "caught", "species": "norway rat"},
    }  # fmt: skip
    if later:
        quiet = {"kind": "trap_check", "trap": "t2", "at": "2026-03-05", "state": "set"}
        document["entities"] |= {"t2": trap, "t2_c": quiet}
    found = _cleared(as_job(document))
    assert [one.caught for one in found.by_night] == ([1, 0, 0] if later else [1])
    assert found.statement.outcome == "not over"


def test_a_statement_holds_for_thirty_days_from_the_last_look_and_tells_of_a_late_catch() -> None:
    document = bungalow()
    trap = {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-03-02"}
    looks = {
        "c1": {"state": "caught", "species": "norway rat", "at": "2026-03-06"},
        "c2": {"state": "set", "at": "2026-03-09"},
    }
    assert _cleared(as_job(document)).statement.valid_until == ""
    document["entities"] |= {"t": trap} | {
        key: {"kind": "trap_check", "trap": "t", **one} for key, one in looks.items()
    }
    found = _cleared(as_job(document))
    assert found.statement.valid_until == "2026-04-08"
    assert [one.caught for one in found.by_night] == [0, 0, 0, 1, 0, 0, 0]
    # Three quiet nights since the catch are no end, however likely the rest.
    assert found.statement.outcome == "not over"
    looks["c3"] = {"state": "set", "at": "2026-03-30"}
    document["entities"]["c3"] = {"kind": "trap_check", "trap": "t", **looks["c3"]}
    later = _cleared(as_job(document))
    assert later.statement.outcome == "not yet known"
    assert later.statement.valid_until == "2026-04-29"


def test_what_the_firm_answers_for_is_told_with_what_ends_it() -> None:
    document = bungalow()
    assert _cleared(as_job(document)).statement.warranty == ()
    document["entities"]["terms"] = {
        "kind": "closing_terms", "warranty": "We come back free of charge",
        "warranty_until": "2026-09-01",
    }  # fmt: skip
    text, ends = _cleared(as_job(document)).statement.warranty
    assert text.startswith("We come back free of charge")
    assert "2026" in text
    assert ends == ENDS_IT


def test_one_more_trap_where_none_reaches_makes_it_shorter() -> None:
    document = bungalow()
    for n, place in enumerate(({"of": "kitchen"}, {"of": "bathroom"}, {"of": "units"})):
        document["entities"] |= {
            f"t{n}": {"kind": "trap", "place": place, "at": "2026-03-02"},
            f"t{n}_c": {"kind": "trap_check", "trap": f"t{n}", "at": "2026-03-30", "state": "set"},
        }
    told = _cleared(as_job(document)).next_trap
    assert told.at
    assert told.nights is not None
    assert told.without is not None
    # Here it does shorten it: three traps leave most voids uncovered.
    assert 0 < told.nights < told.without


@settings(max_examples=20, deadline=None)
@given(logged())
def test_there_is_a_statement_and_the_last_night_says_the_same(more: dict[str, Any]) -> None:
    document = bungalow()
    document["entities"] |= more
    job = as_job(document)
    assert check(job) == ()
    found = _cleared(job)
    assert 0.0 <= found.statement.chance <= 1.0
    # The list is not closed, so nothing of it ends a job.
    assert found.statement.outcome in ("not over", "not yet known")
    if found.by_night:
        assert found.by_night[-1].low == pytest.approx(found.statement.chance)
        assert sum(one.caught for one in found.by_night) == found.watching.catches
    assert len(next_round(job, date(2026, 3, 30))) <= 4
    assert how_many(job, "norway rat").why
