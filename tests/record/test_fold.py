"""What a set of events adds up to, by hand-worked cases of two devices."""

from __future__ import annotations

from itertools import permutations
from typing import Any

import msgspec
import pytest

from wainscot.job import Job
from wainscot.record import Beside, Event, RecordError, cover, diff, event, fold

ROOM = {"kind": "room", "name": "Kitchen"}


def _at(minute: int) -> str:
    return f"2025-03-14T09:{minute:02d}:00+00:00"


def _event(kind: Any, device: str, seq: int, minute: int, **parts: Any) -> Event:
    return event(kind, job="j", device=device, seq=seq, prev="", at=_at(minute), **parts)


ADD = _event("add", "van", 1, 0, entity="r", value=ROOM)
VAN = _event("set", "van", 2, 5, entity="r", field="name", value="Scullery", supersedes=(ADD.id,))
PHONE = _event("set", "phone", 1, 3, entity="r", field="name", value="Pantry", supersedes=(ADD.id,))


def test_two_devices_setting_one_field_leave_a_conflict_and_the_newer_word_wins() -> None:
    for order in permutations([ADD, VAN, PHONE]):
        job = fold(order, "j")
        assert job.entities == {"r": {"kind": "room", "name": "Scullery"}}
        (conflict,) = job.conflicts
        assert (conflict.entity, conflict.field, conflict.winner) == ("r", "name", VAN.id)
        assert conflict.others == (PHONE.id,)
        assert conflict.lost == ('"Pantry"',)


def test_two_devices_saying_the_same_are_no_conflict() -> None:
    same = _event("set", "phone", 1, 3, entity="r", field="name", value="Scullery")
    assert fold([ADD, VAN, same], "j").conflicts == ()


def test_superseding_beats_the_clock() -> None:
    late_clock = _event(
        "set", "phone", 1, 1, entity="r", field="name", value="Pantry", supersedes=(VAN.id, ADD.id)
    )
    job = fold([ADD, VAN, late_clock], "j")
    assert job.entities["r"]["name"] == "Pantry"
    assert job.conflicts == ()


def test_a_device_replaces_its_own_word_though_its_clock_was_set_back() -> None:
    set_back = _event("set", "van", 3, 1, entity="r", field="name", value="Larder")
    job = fold([ADD, VAN, set_back], "j")
    assert job.entities["r"]["name"] == "Larder"
    assert job.conflicts == ()


def test_times_are_compared_as_instants_not_as_text() -> None:
    # 09:05+00:00 is later than 10:00+01:00, which is 09:00 UTC, though its text sorts first.
    west = event(
        "set", job="j", device="phone", seq=1, prev="", at="2025-03-14T10:00:00+01:00",
        entity="r", field="name", value="Pantry", supersedes=(ADD.id,),
    )  # fmt: skip
    assert fold([ADD, VAN, west], "j").entities["r"]["name"] == "Scullery"


def test_withdrawing_a_room_that_another_device_renamed_meanwhile_is_shown() -> None:
    gone = _event("withdraw", "van", 2, 9, entity="r", supersedes=(ADD.id,))
    job = fold([ADD, PHONE, gone], "j")
    assert job.entities == {}
    (conflict,) = job.conflicts
    assert (conflict.field, conflict.winner, conflict.others) == ("", gone.id, (PHONE.id,))
    earlier = _event("withdraw", "van", 2, 1, entity="r", supersedes=(ADD.id,))
    job = fold([ADD, PHONE, earlier], "j")
    assert job.entities == {"r": {"kind": "room", "name": "Pantry"}}
    assert [one.lost for one in job.conflicts] == [("",)]


def test_a_word_about_one_field_leaves_the_others_of_the_same_add_alone() -> None:
    add = _event("add", "van", 1, 0, entity="r", value={**ROOM, "storey": "g"})
    rename = _event(
        "set", "phone", 1, 1, entity="r", field="name", value="Bar", supersedes=(add.id,)
    )
    assert fold([add, rename], "j").entities["r"] == {"kind": "room", "name": "Bar", "storey": "g"}


def test_an_entity_whose_add_has_not_arrived_waits() -> None:
    assert fold([VAN], "j").entities == {}
    assert fold([VAN, ADD], "j").entities["r"]["name"] == "Scullery"


def test_adding_again_after_withdrawing_brings_no_old_field_back() -> None:
    first = Job("j", entities={"r": {**ROOM, "storey": "g"}})
    log = list(diff(Job("j"), first, device="van", seq=1, prev="", at=_at(0)))
    log += diff(first, Job("j"), device="van", seq=9, prev="x", at=_at(1))
    again = Job("j", entities={"r": ROOM})
    log += diff(Job("j"), again, device="van", seq=20, prev="y", at=_at(2))
    assert fold(log, "j") == again


def test_events_of_another_job_are_passed_over() -> None:
    assert fold([ADD, VAN], "other") == Job("other")


def test_a_forged_event_is_refused_whichever_comes_first() -> None:
    import msgspec

    forged = msgspec.structs.replace(VAN, value="Throne room")
    for order in ([ADD, VAN, forged], [ADD, forged, VAN]):
        with pytest.raises(RecordError):
            fold(order, "j")


def test_diff_refuses_two_different_jobs() -> None:
    with pytest.raises(RecordError, match="two jobs"):
        diff(Job("a"), Job("b"), device="van", seq=1, prev="", at=_at(0))


def test_diff_chains_its_events() -> None:
    job = Job("j", title="Mill", entities={"r": ROOM, "s": ROOM})
    events = diff(Job("j"), job, device="van", seq=7, prev="before", at=_at(0))
    assert [one.seq for one in events] == [7, 8, 9]
    assert [one.prev for one in events] == ["before", events[0].id, events[1].id]


def test_nothing_changed_gives_no_event() -> None:
    job = Job("j", title="Mill", entities={"r": ROOM})
    assert diff(job, job, device="van", seq=1, prev="", at=_at(0)) == ()


def test_false_in_place_of_zero_is_a_change() -> None:
    old = Job("j", entities={"r": {"kind": "service", "disused": 0}})
    new = Job("j", entities={"r": {"kind": "service", "disused": False}})
    (change,) = diff(old, new, device="van", seq=1, prev="", at=_at(0))
    assert change.value is False


def test_diff_refuses_an_entity_without_an_id() -> None:
    with pytest.raises(RecordError, match="empty id"):
        diff(Job("j"), Job("j", entities={"": ROOM}), device="van", seq=1, prev="", at=_at(0))


def test_a_text_that_stands_beside_one_copy_of_an_event_is_read_in_any_order() -> None:
    caller, opened = cover({"kind": "call", "caller": "A"}, salt=lambda: "ab" * 32)
    whole = event("add", job="j", device="van", seq=1, prev="", at="2025-03-14T10:00Z",
                  entity="call", value=caller, opened=opened)  # fmt: skip
    bare = msgspec.structs.replace(whole, beside=Beside())
    for order in ([whole, bare], [bare, whole], [bare, whole, bare]):
        assert fold(order, "j").entities["call"]["caller"] == "A"
