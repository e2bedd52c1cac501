"""Contact time as an event: start, wet again, end; what falls short is failed and stays."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from houses import as_job, semi
from wainscot.cleaning.applied import applied, label_in, labelled, last_applied
from wainscot.cleaning.crew import ALARMS_NOBODY, crew_log
from wainscot.cleaning.drying import closings
from wainscot.errors import InputError
from wainscot.job import Job, faults

LABEL = {"kind": "product_label", "product": "disinfectant", "registration": "0000-00",
         "contact_time": "10 min", "dilution": "1:64", "surfaces": ["sealed", "wood"]}  # fmt: skip


def clock(minute: float) -> str:
    return f"2026-05-20T09:{int(minute):02}:{int(minute % 1 * 60):02}+00:00"


def wetted(*moments: tuple[float, str], label: dict[str, Any] | None = None, **more: Any) -> Job:
    """Return a house where one place was wetted at nine, with what was done later."""
    document = semi()
    room = next(key for key, one in document["entities"].items() if one["kind"] == "room")
    document["entities"] |= {
        "label": label or LABEL,
        "first": {"kind": "application", "label": "label", "place": {"of": room}, "at": clock(0),
                  **more},
    } | {
        f"then{n}": {"kind": "contact", "application": "first", "at": clock(minute), "what": what}
        for n, (minute, what) in enumerate(moments)
    }  # fmt: skip
    job = as_job(document)
    assert faults(job) == []
    return job


@pytest.mark.parametrize(
    ("moments", "standing", "words"),
    [
        (((12, "end"),), "done", "wet for 12 of 10 min"),
        (((9, "wet again"), (12, "end")), "done", "wet for 12 of 10 min"),
        (((6, "end"),), "failed", "FAILED: wet for 6 of 10 min; apply it again"),
        (((6, "dry seen"), (8, "wet again"), (13, "end")), "failed",
         "FAILED: dried out between, wet for 6 of 10 min; apply it again"),
        (((6, "dry seen"), (8, "wet again"), (18, "end")), "done", "wet for 10 of 10 min"),
        (((6, "dry seen"),), "running", "seen dry after 6 of 10 min: wet it again, and its time"),
        ((), "running", "not finished: 0 of 10 min so far"),
    ],
)  # fmt: skip
def test_an_application_is_judged_by_its_longest_time_wet_without_a_break(
    moments: tuple[tuple[float, str], ...], standing: str, words: str
) -> None:
    found = applied(wetted(*moments))[0]
    assert found.standing == standing
    assert found.words.startswith(words)


def test_what_is_wet_now_counts_up_to_now_and_dry_does_not() -> None:
    now = datetime.fromisoformat(clock(11))
    assert applied(wetted(), now)[0].standing == "done"
    assert applied(wetted((4, "dry seen")), now)[0].standing == "running"
    assert applied(wetted((4, "end")), now)[0].standing == "failed"


def test_a_label_without_contact_time_or_for_another_surface_fails_the_application() -> None:
    without = {name: value for name, value in LABEL.items() if name != "contact_time"}
    bare = applied(wetted((30, "end"), label=without))[0]
    assert (bare.standing, bare.needed) == ("failed", None)
    assert "no contact time" in bare.words
    other = applied(wetted((30, "end"), surface="masonry"))[0]
    assert other.words == "FAILED: the label (0000-00) does not allow masonry"
    assert applied(wetted((30, "end"), surface="wood"))[0].standing == "done"


def test_an_end_before_the_start_is_failed_and_says_that_the_log_is_wrong() -> None:
    job = wetted((5, "end"))
    entities = {
        **job.entities,
        "then0": {**job.entities["then0"], "at": "2026-05-20T08:59:00+00:00"},
    }
    found = applied(Job(job.id, entities=entities))[0]
    assert (found.standing, "mend the log" in found.words) == ("failed", True)


def test_a_film_that_may_have_dried_between_two_wettings_is_doubted() -> None:
    # Carrier's form at 25 C, 40 %: 40.75 g/m2 last 9.0 min, 6.9 at 30 % faster (as in published).
    thin = {**LABEL, "coverage": 40.75}
    air = {"air": "25 C", "humidity": "40 %"}
    doubted = applied(wetted((10, "end"), label=thin, **air))[0]
    assert doubted.standing == "done"
    assert "may dry in 7 min" in doubted.doubt
    assert applied(wetted((6, "wet again"), (12, "end"), label=thin, **air))[0].doubt == ""
    assert applied(wetted((60 - 1, "end"), **air))[0].doubt == ""


def test_minutes_need_a_time_of_day_and_an_application_a_label_that_is_there() -> None:
    job = wetted()
    day = {**job.entities["first"], "at": "2026-05-20"}
    lost = {**job.entities["first"], "label": "gone"}
    for entity, code in ((day, "bad-time"), (lost, "unknown-id")):
        found = faults(Job(job.id, entities={**job.entities, "first": entity}))
        assert [one.code for one in found] == [code]


def test_a_wall_is_not_closed_over_an_application_that_failed_until_it_was_done_again() -> None:
    job = wetted((6, "end"))
    room = job.entities["first"]["place"]["of"]
    reading = {"kind": "air_reading", "room": room, "at": "2026-05-21", "of": "moisture percent",
               "value": 12.0}  # fmt: skip
    job = Job(job.id, entities={**job.entities, "dry1": reading})
    bars = closings(job, 293.15, 0.4, cables_checked=True)[0].bars
    assert any("FAILED: wet for 6 of 10 min" in bar for bar in bars)
    again = {"kind": "application", "label": "label", "place": {"of": room}, "at": clock(30)}
    ended = {"kind": "contact", "application": "again", "at": clock(45), "what": "end"}
    done = Job(job.id, entities={**job.entities, "again": again, "then9": ended})
    bars = closings(done, 293.15, 0.4, cables_checked=True)[0].bars
    assert not any("FAILED" in bar for bar in bars)
    # It bars nothing any more, and it is still told.
    assert [one.standing for one in applied(done)] == ["failed", "done"]
    assert len(last_applied(done)) == 1


def test_the_label_of_the_job_is_the_newest_that_disinfects() -> None:
    job = wetted()
    more = {"soap": {**LABEL, "product": "enzyme", "at": "2026-05-22"},
            "newer": {**LABEL, "registration": "1111-11", "at": "2026-05-21"}}  # fmt: skip
    found = label_in(Job(job.id, entities={**job.entities, **more}))
    assert found is not None
    assert found.registration == "1111-11"
    assert label_in(as_job(semi())) is None


def test_a_label_is_typed_into_the_job_as_it_stands_or_refused() -> None:
    text = 'product = "peroxide"\nregistration = 1234\ncontact_time = "5 min"\nsurfaces = ["wood"]'
    with pytest.raises(InputError, match="contact_time"):
        labelled(as_job(semi()), text.replace('"5 min"', "5"))
    job, key = labelled(as_job(semi()), text.replace("1234", '"1234"'), by="A. Tester")
    assert faults(job) == []
    assert job.entities[key]["contact_time"] == "5 min"
    found = label_in(job)
    assert found is not None
    assert found.contact == 5.0


def test_the_crew_log_says_who_is_inside_and_that_it_alarms_nobody() -> None:
    job = as_job(semi())
    lines = {
        f"c{n}": {"kind": "crew_log", "who": who, "at": clock(minute), "what": what}
        for n, (who, minute, what) in enumerate((
            ("A. Tester", 0, "fit test"), ("A. Tester", 1, "in"), ("A. Tester", 20, "check-in"),
            ("B. Tester", 2, "in"), ("B. Tester", 25, "bite"), ("B. Tester", 26, "out"),
        ))
    }  # fmt: skip
    job = Job(job.id, entities={**job.entities, **lines})
    assert faults(job) == []
    first, second = crew_log(job, datetime.fromisoformat(clock(45)))
    assert (first.overdue, first.fit_tested, first.quiet) == (False, True, 25.0)
    later = crew_log(job, datetime.fromisoformat(clock(55)))[0]
    assert any(word.startswith("OVERDUE") for word in later.words)
    assert second.inside_since == ""
    assert not second.fit_tested
    assert any("see a doctor" in word for word in second.words)
    assert "alarms nobody" in ALARMS_NOBODY
