"""The programme of a house: what stops it, its calendar read by another library, its picture."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from datetime import UTC, date, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import icalendar
import msgspec
import pytest

from wainscot import demos
from wainscot.book import read_book
from wainscot.errors import InputError
from wainscot.job import read
from wainscot.picture.bars import draw_bars
from wainscot.programme import Given, Programme, brief, calendar, lines, programme
from wainscot.sealing import Terms
from wainscot.walk import Walk, walk

START = "2026-12-01"
RATES = """
[team]
days = "mon tue wed thu"
off = "2026-12-24"
zone = "Europe/London"
"""
HOSTILE = "a;b,c\\d\nBEGIN:VEVENT \u00e9\u4e2d" * 40


@cache
def walked() -> Walk:
    return walk(read(demos.text("terraced_cottage")), draws=256, closing=Terms(), priced=True,
                book=read_book(RATES), start=START)  # fmt: skip


def found() -> Programme:
    made = walked().programme
    assert made is not None
    return made


def test_people_work_only_in_their_hours_and_each_after_what_it_needs() -> None:
    by_key = {one.key: one for one in found().activities}
    for one in by_key.values():
        assert all(by_key[key].end <= one.start for key in one.after)
        if one.sort == "wait":
            continue
        for text in (one.start, one.end):
            at = datetime.fromisoformat(text)
            assert at.weekday() < 4
            assert at.date() != date(2026, 12, 24)
            assert 8 <= at.hour + at.minute / 60 <= 15


def test_who_comes_on_how_many_days_is_counted_off_the_days() -> None:
    told = {one.who: one.days for one in found().crews}
    assert told == {who: sum(who in day.who for day in found().days) for who in told}


def test_nothing_is_cut_wetted_or_exhausted_before_its_hold_point_is_signed() -> None:
    by_key = {one.key: one for one in found().activities}

    def before(key: str) -> set[str]:
        some = set(by_key[key].after)
        return some.union(*(before(each) for each in some)) if some else some

    settled = {hold: one.key for one in by_key.values() for hold in one.holds}
    assert {"circuits/wetting", "combustion/house"} <= set(settled)
    for one in by_key.values():
        if one.parts:  # wetting
            assert settled["circuits/wetting"] in before(one.key)
        if one.key.endswith("/sheet"):
            assert settled["combustion/house"] in before(one.key)
            assert "owner/openings" in before(one.key)
        if one.key.endswith("/close"):
            assert one.key.replace("/close", "/dry enough") in before(one.key)
            assert one.key.replace("/close", "/cables") in before(one.key)
    assert all(one.who for one in by_key.values() if one.sort == "hold")
    assert "watch/quiet" in before("seal/last")


def test_its_end_lies_at_or_after_the_bound_and_late_after_likely() -> None:
    one = found()
    assert one.earliest_end <= one.end
    assert one.gap >= 0
    assert one.likely_end <= one.late_end
    assert one.start == START == min(each.start for each in one.activities if each.who)[:10]
    by_key = {each.key: each for each in one.activities}
    assert one.critical
    assert by_key[one.critical[-1]].end == one.end
    assert all(by_key[key].critical for key in one.critical)


def test_a_room_is_out_of_use_while_anybody_works_in_it_and_says_when_to_return() -> None:
    for one in found().activities:
        if one.room and one.sort == "work":
            assert any(out.room == one.room and out.start <= one.start and one.end <= out.end
                       for out in found().rooms)  # fmt: skip
    assert all(out.back for out in found().rooms)
    told = {key for day in found().days for key in day.doing}
    assert told == {one.key for one in found().activities if one.sort != "wait"}


def test_the_same_input_gives_the_same_bytes_and_more_people_no_later_bound() -> None:
    given = _given()
    one, same = (msgspec.json.encode(programme(given, START, draws=20)) for _ in range(2))
    assert one == same
    book = read_book(RATES + "crews = 3\nfinishers = 3")
    more = msgspec.structs.replace(given, scope=msgspec.structs.replace(given.scope, book=book))
    assert programme(more, START, draws=5).earliest_end <= found().earliest_end


def _given() -> Given:
    from wainscot.checks import answers_of, pool
    from wainscot.estimate import Scope

    one, job = walked(), read(demos.text("terraced_cottage"))
    assert one.drawn is not None
    assert one.openings is not None
    assert one.sealing is not None
    seen = one.survey
    scope = Scope(seen.plan, seen.graph, pool(one.drawn, answers_of(job)), one.checks,
                  one.openings, one.offered, one.sealing.lists[0], read_book(RATES))  # fmt: skip
    return Given(job, scope, one.work, one.sealing, one.all_clear)


def test_another_library_reads_the_calendar_as_it_was_meant() -> None:
    text = calendar(found(), "cottage", title="Cottage")
    read_back = icalendar.Calendar.from_ical(text)
    events = {str(one["UID"]): one for one in read_back.walk("VEVENT")}
    meant = [one for one in found().activities if one.sort != "wait"]
    assert len(events) == len(meant) + len(found().rooms)
    zone = ZoneInfo("Europe/London")
    timed = sorted((one.decoded("DTSTART"), str(one["SUMMARY"])) for one in events.values()
                   if isinstance(one.decoded("DTSTART"), datetime))  # fmt: skip
    for (start, words), one in zip(
        timed,
        sorted(meant, key=lambda each: (_utc(each.start, zone), _said(each))),
        strict=True,
    ):
        assert (start, words) == (_utc(one.start, zone), _said(one))
    # Every line at most 75 octets, ended by CRLF: RFC 5545 section 3.1 (read).
    assert all(len(line) <= 75 for line in text.encode().split(b"\r\n"))
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")


def _said(one: object) -> str:
    stop = "STOP, sign first: " if one.holds else ""
    return f"{stop}{one.who}: {one.words}"


def _utc(local: str, zone: ZoneInfo) -> datetime:
    return datetime.fromisoformat(local).replace(tzinfo=zone).astimezone(UTC)


def test_a_later_calendar_moves_its_events_instead_of_adding_some() -> None:
    moved = programme(_given(), "2027-01-11", draws=5)
    now, then = (
        {str(one["UID"]) for one in icalendar.Calendar.from_ical(text).walk("VEVENT")}
        for text in (calendar(found(), "cottage"), calendar(moved, "cottage"))
    )  # fmt: skip
    assert now == then
    other = {str(one["UID"]) for one in
             icalendar.Calendar.from_ical(calendar(found(), "mill")).walk("VEVENT")}  # fmt: skip
    assert not now & other


def test_hostile_words_come_back_whole_and_begin_nothing() -> None:
    first = msgspec.structs.replace(found().activities[0], words=HOSTILE)
    one = msgspec.structs.replace(found(), activities=(first,), rooms=())
    events = icalendar.Calendar.from_ical(calendar(one, "x", title=HOSTILE)).walk("VEVENT")
    assert len(events) == 1
    assert str(events[0]["SUMMARY"]).endswith(HOSTILE)


def test_without_a_zone_there_is_no_calendar_with_wrong_hours() -> None:
    for zone, words in (("", "time zone"), ("Mars/Base", "no time zone")):
        with pytest.raises(InputError, match=words):
            calendar(msgspec.structs.replace(found(), zone=""), "x", zone=zone)


def test_clocks_put_forward_do_not_shift_the_hour_on_the_wall() -> None:
    first = msgspec.structs.replace(found().activities[0], start="2027-03-29T08:00",
                                    end="2027-03-29T09:00")  # fmt: skip
    one = msgspec.structs.replace(found(), activities=(first,), rooms=())
    (event,) = icalendar.Calendar.from_ical(calendar(one, "x")).walk("VEVENT")
    assert event.decoded("DTSTART") == datetime(2027, 3, 29, 7, tzinfo=UTC)
    assert event.decoded("DTEND") - event.decoded("DTSTART") == timedelta(hours=1)


def test_the_picture_names_every_activity_and_tells_each_sort_by_its_shape() -> None:
    svg = draw_bars(found(), title='<b> & "x"')
    tree = ElementTree.fromstring(svg)
    said = "".join(tree.itertext())
    stops = [one for one in found().activities if one.holds]
    assert stops
    assert all(f"STOP {one.words}"[:20] in said for one in stops)
    assert "room out of use" in said
    assert "stroke-dasharray" in svg
    assert '<b> & "x"' in said
    assert draw_bars(found(), theme="night") != svg


def test_it_is_told_day_by_day_with_stops_rooms_and_limits() -> None:
    told = "\n".join(lines(found(), 99))
    for words in ("nine in ten by", "STOP combustion", "back in use", "back from", "Who comes:",
                  "The end hangs on", "no promise"):  # fmt: skip
        assert words in told
    assert all(len(line) < 400 for line in brief(found()))
    empty = msgspec.structs.replace(found(), activities=(), days=(), rooms=(), critical=())
    assert brief(empty)[0].startswith("Nothing is planned yet")
