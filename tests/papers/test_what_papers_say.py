"""What each paper for a trade, a neighbour or an owner must say, and what it must not."""

from __future__ import annotations

import io
from functools import cache
from itertools import pairwise
from typing import Any, get_args, get_type_hints

import msgspec
import pypdf
import pytest

from wainscot.book import read_book
from wainscot.cleaning import read_label
from wainscot.job import ERASED, CrewEntry, Job
from wainscot.papers.answers import Answers
from wainscot.papers.example import LABEL, RATES, house
from wainscot.papers.kinds import papers
from wainscot.papers.neighbours_consent.whose import Whose
from wainscot.papers.opening_sheet import last_day
from wainscot.papers.printing import Sheet, as_json, as_pdf, sheet
from wainscot.sealing import Terms
from wainscot.walk import answers, walk

WALL = "whole wall/kitchen|bathroom/w1|0.000"


@cache
def _house() -> Answers:
    job = house()
    walked = walk(job, draws=256, book=read_book(RATES), label=read_label(LABEL),
                  closing=Terms(), priced=True, checks=False)  # fmt: skip
    return answers(walked, job, date=last_day(job))


def _view(name: str, known: Answers) -> Any:
    paper = papers()[name]
    return paper.view(known, paper.say(known.job, "en"))


def _with(known: Answers, job: Job) -> Answers:
    return msgspec.structs.replace(known, job=job)


def _without(known: Answers, *kinds: str) -> Answers:
    """The same answers with entities of some kinds taken out of the job."""
    left = {k: one for k, one in known.job.entities.items() if one["kind"] not in kinds}
    return _with(known, msgspec.structs.replace(known.job, entities=left))


def _changed(known: Answers, **entities: dict[str, Any]) -> Answers:
    changed = {**known.job.entities, **entities}
    return _with(known, msgspec.structs.replace(known.job, entities=changed))


def test_electrician_is_told_who_saw_which_cable_when_and_what_stays_open() -> None:
    told = _view("electricians-sheet", _house())
    (seen,) = told.seen
    assert (seen.place.text, seen.day, seen.by) == ("cooker cable", "4 May 2026", "M. Tanner")
    assert seen.what == "cable gnawed"
    # The cable is drawn in the partition that the whole wall lays open.
    assert any("east wall of the kitchen" in one.words.text for one in told.open)
    assert [one.text for one in told.circuits] == ["cooker cable"]


def test_wood_that_was_gnawed_is_no_cable() -> None:
    wood = {"kind": "inspection", "place": {"of": "units"},
            "finds": [{"kind": "gnawing", "amount": "wood"}]}  # fmt: skip
    both = _view("electricians-sheet", _changed(_house(), look_wood=wood))
    assert [one.what for one in both.seen] == ["cable gnawed", "wood gnawed, no cable logged"]
    assert _view("electricians-sheet", _changed(_house(), look_feed=wood)) is None


def test_a_cable_gnawed_somewhere_in_a_room_keeps_what_lies_at_its_cables_open() -> None:
    look = {"kind": "inspection", "place": {"of": "kitchen"},
            "finds": [{"kind": "gnawing", "amount": "cable"}]}  # fmt: skip
    told = _view("electricians-sheet", _changed(_house(), look_feed=look))
    assert [one.place.text for one in told.seen] == ["Kitchen"]
    assert any("east wall of the kitchen" in one.words.text for one in told.open)


@pytest.mark.parametrize(
    ("of", "opening"), [("units", "kick board"), ("partition", "east wall of the kitchen")]
)
def test_a_cable_gnawed_at_a_fixture_or_in_a_wall_keeps_its_openings_open(
    of: str, opening: str
) -> None:
    look = {"kind": "inspection", "place": {"of": of},
            "finds": [{"kind": "gnawing", "amount": "cable"}]}  # fmt: skip
    changed = _changed(_house(), look_feed=look)
    told = _view("electricians-sheet", changed)
    assert any(opening in one.words.text for one in told.open)
    again = _view("rebuild-sheet", changed)
    assert [one.gnawed for one in again.openings if opening in one.words.text] == [True]


def test_openings_alike_at_which_nothing_is_cut_stand_as_one() -> None:
    known = _house()
    panel = next(one for one in known.offered if one.id.startswith("panel off/bath/"))
    other = msgspec.structs.replace(panel, id="panel off/other")
    both = {"kind": "authorisation", "by": "R. Alder", "at": "2026-05-05",
            "openings": [panel.id, other.id]}  # fmt: skip
    changed = _changed(_without(known, "authorisation"), signed=both)
    twice = msgspec.structs.replace(changed, offered=(panel, other))
    (one,) = _view("rebuild-sheet", twice).openings
    assert one.alike.text == "B1"
    untouched = tuple(msgspec.structs.replace(way, disturbance="none") for way in (panel, other))
    assert _view("rebuild-sheet", msgspec.structs.replace(changed, offered=untouched)) is None


def test_what_the_estimate_counts_for_openings_alike_is_told_of_all_of_them() -> None:
    known = _house()
    assert known.estimate is not None
    panel = next(one for one in known.offered if one.id.startswith("panel off/bath/"))
    ways = (panel, msgspec.structs.replace(panel, id="panel off/other"))
    both = {"kind": "authorisation", "by": "R. Alder", "at": "2026-05-05",
            "openings": [one.id for one in ways]}  # fmt: skip
    line = next(one for one in known.estimate.lines if one.unit == "h")
    lines = tuple(
        msgspec.structs.replace(line, key=f"open and clean/close {one.id}", quantity=0.3)
        for one in ways
    )
    told = msgspec.structs.replace(
        _changed(_without(known, "authorisation"), signed=both), offered=ways,
        estimate=msgspec.structs.replace(known.estimate, lines=lines),
    )  # fmt: skip
    (one,) = _view("rebuild-sheet", told).openings
    assert one.counted == ("make good: 0.6 h",)


def test_what_comes_on_top_if_they_gnaw_is_counted_where_it_is_not_told() -> None:
    known = _house()
    assert known.sealing is not None
    built = next(one for one in known.sealing.lists if one.grade == "as built")
    seals = tuple(
        msgspec.structs.replace(built.seals[0], key=f"seal_{n}", words=f"hole {n}")
        for n in range(15)
    )
    gnawed = msgspec.structs.replace(built, grade="if they gnaw", seals=seals)
    sealing = msgspec.structs.replace(known.sealing, lists=(built, gnawed))
    told = _view("seal-list", msgspec.structs.replace(known, sealing=sealing))
    assert len(told.if_they_gnaw) + int(told.gnaw_more) == len(seals)
    assert _view("seal-list", known).gnaw_more == ""


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_crew_without_a_label_is_told_so_and_reads_no_head_over_nothing(language: str) -> None:
    known = _house()
    assert known.work is not None
    work = msgspec.structs.replace(known.work, cleaning=None, holds=())
    made = sheet("crew-sheet", msgspec.structs.replace(known, work=work), language=language)
    assert made is not None
    text = " ".join("".join(page.extract_text() for page in _pages(made)).split())
    for key in ("wear_open", "no_holds"):
        assert " ".join(made.words[key].split()) in text
    for key in ("van_head", "waste_head", "released"):
        assert made.words[key] not in text


def _pages(made: Sheet) -> list[pypdf.PageObject]:
    return list(pypdf.PdfReader(io.BytesIO(as_pdf(made))).pages)


def test_logs_tell_a_place_by_its_type_or_space_never_by_an_id() -> None:
    known = _house()
    trap = {"kind": "trap", "place": {"of": "waste"}, "at": "2026-05-07T10:00:00+01:00"}
    wet = known.job.entities["wet"] | {
        "place": {"storey": "ground", "at": [1.2, 3.3], "height": 0.05}
    }
    changed = _changed(known, trap_1=trap, wet=wet)
    for language, drain in (("en", "drain"), ("es", "desagüe")):
        say = papers()["trap-log"].say(changed.job, language)
        assert papers()["trap-log"].view(changed, say).traps[0].place == drain
    (row,) = _view("cleaning-log", changed).rows
    assert row.place.startswith("under the base cabinets")


def test_the_closing_report_tells_what_was_declined_by_its_words_in_the_papers_language() -> None:
    known = _house()
    words = next(one.words for one in known.offered if one.id == "whole floor/bathroom")
    (told,) = _view("closing-report", known).declined
    assert told.text == f"{words}: new tiles"
    paper = papers()["closing-report"]
    (said,) = paper.view(known, paper.say(known.job, "es")).declined
    assert said.text.startswith("Levante todo el suelo: ")
    assert said.lang == "es"


def test_an_initial_or_a_number_off_a_label_leaves_no_sentence_english() -> None:
    known = _house()
    closing, crew = (papers()[name] for name in ("closing-report", "crew-sheet"))
    (seal,) = closing.view(known, closing.say(known.job, "es")).seals.lines
    assert "M. Tanner" in seal.text
    product = crew.view(known, crew.say(known.job, "es")).product
    assert (seal.lang, product.lang) == ("es", "es")


def test_every_line_that_a_crew_may_write_of_itself_has_its_word() -> None:
    entries = {
        f"line_{n}": {"kind": "crew_log", "who": "M. Tanner", "what": what,
                      "at": f"2026-05-06T10:{n:02d}:00+01:00"}
        for n, what in enumerate(get_args(get_type_hints(CrewEntry)["what"]))
    }  # fmt: skip
    changed = _changed(_without(_house(), "crew_log"), **entries)
    paper = papers()["cleaning-log"]
    told = {
        language: [one.what for one in paper.view(changed, paper.say(changed.job, language)).crew]
        for language in ("en", "es")
    }
    assert told["en"] == [one["what"] for one in entries.values()]
    assert not set(told["en"]) & set(told["es"])


def test_a_question_with_more_answers_than_have_room_says_how_many() -> None:
    looks = {
        f"told_{n}": {"kind": "inspection", "grade": "told", "place": {"of": "bath"},
                      "finds": [{"kind": "droppings"}]}
        for n in range(9)
    }  # fmt: skip
    held = _view("call-sheet", _changed(_house(), **looks)).questions[3].held
    assert [one.text for one in held[6:]] == ["and 3 more, in the job"]


def test_carpenter_gets_what_is_signed_for_and_nothing_else() -> None:
    known = _house()
    told = _view("rebuild-sheet", known)
    ways = {one.id: one.words for one in known.offered}
    signed = {ways[key] for one in known.job.entities.values() if one["kind"] == "authorisation"
              for key in one["openings"]}  # fmt: skip
    assert {one.words.text for one in told.openings} == signed
    assert [one.open for one in told.openings] == [True, False, False]
    wall = next(one for one in told.openings if one.words.text == ways[WALL])
    # The kitchen's east wall is drawn 3.6 m long and 2.4 m high.
    assert wall.cuts[0].startswith("1 of 3600 mm")
    assert "by 2400 mm" in wall.cuts[0]
    assert wall.thick == "12.5 mm"
    assert wall.gnawed
    assert not any(one.rated for one in told.openings)
    assert [one.moisture for one in told.openings] == [
        "",
        "14 % in this room, 8 May 2026, M. Tanner",
        "",
    ]
    assert _view("rebuild-sheet", _without(known, "authorisation")) is None


def test_a_wall_to_a_neighbour_asks_for_a_tested_system() -> None:
    known = _house()
    (way,) = [one for one in known.offered if one.id == WALL]
    rated = msgspec.structs.replace(way.holds[0], key=f"rated wall/{WALL}")
    changed = msgspec.structs.replace(way, holds=(*way.holds, rated))
    told = _view("rebuild-sheet", msgspec.structs.replace(known, offered=(changed,)))
    assert [one.rated for one in told.openings] == [True]


def test_neighbour_is_asked_about_the_side_that_is_theirs() -> None:
    known = _house()
    told = _view("neighbours-consent", known)
    (asked,) = told.pages
    assert (asked.name, told.named) == ("", False)
    assert asked.sides == ("walls on the east side: Bathroom",)
    assert asked.ways
    assert all("neighbour" in one.words.text for one in asked.ways)
    alone = msgspec.structs.replace(
        known,
        plan=msgspec.structs.replace(
            known.plan, walls=tuple(one for one in known.plan.walls if one.beyond != "neighbour")
        ),
        diagnosis=msgspec.structs.replace(known.diagnosis, entries=()),
    )
    assert _view("neighbours-consent", alone) is None


def _between_neighbours(**owners: str) -> Answers:
    """The house with neighbours east, south and where the whole wall is opened; owners by side."""
    known = _house()
    sides = {"east": "bathroom/e1", "south": "kitchen/s1", "west": "bathroom/w1"}
    edges = {
        f"next_{way}": {"kind": "edge", "room": side.partition("/")[0],
                        "side": side.partition("/")[2], "is": "neighbour",
                        "owner": owners.get(way, "")}
        for way, side in sides.items()
    }  # fmt: skip
    runs = tuple(msgspec.structs.replace(one, owner=owners.get("west", ""))
                 if one.id == "waste" else one for one in known.plan.services)  # fmt: skip
    walls = tuple(
        msgspec.structs.replace(one, beyond="neighbour") if one.side.id in sides.values() else one
        for one in known.plan.walls
    )
    (way,) = [one for one in known.offered if one.id == WALL]
    rated = msgspec.structs.replace(way.holds[0], key=f"rated wall/{WALL}")
    entry = known.diagnosis.entries[0]
    entries = tuple(
        msgspec.structs.replace(entry, id=f"unknown: neighbour, {way} side", words=f"way {way}")
        for way in sides
    )
    return msgspec.structs.replace(
        _changed(_without(known, "edge"), **edges),
        offered=(msgspec.structs.replace(way, holds=(rated,)),),
        plan=msgspec.structs.replace(known.plan, walls=walls, services=runs),
        diagnosis=msgspec.structs.replace(known.diagnosis, entries=entries),
    )


def test_each_neighbour_who_is_named_is_asked_of_their_own_side_alone() -> None:
    told = _view("neighbours-consent", _between_neighbours(east="R. Ash", west=" B.  Beech"))
    assert [one.name for one in told.pages] == ["B. Beech", "R. Ash", ""]
    west, east, rest = told.pages
    assert west.sides == ("walls on the west side: Bathroom",)
    assert east.sides == ("walls on the east side: Bathroom",)
    assert rest.sides == ("walls on the south side: Kitchen",)
    ways = [[way.words.text for way in one.ways] for one in told.pages]
    assert ways == [["way west"], ["way east"], ["way south"]]
    # Only the wall between the bathroom and the west is opened; the waste is drawn as theirs.
    assert [len(one.cuts) for one in told.pages] == [1, 0, 0]
    assert [len(one.shared) for one in told.pages] == [1, 0, 0]
    assert not any(one.several or way.joint for one in told.pages for way in one.ways)
    # Two who were erased are not one neighbour with a name.
    erased = _between_neighbours(east=ERASED, west=ERASED)
    assert [one.name for one in _view("neighbours-consent", erased).pages] == [""]
    (all_in_one,) = _view("neighbours-consent", _between_neighbours()).pages
    assert all_in_one.several
    assert len(all_in_one.ways) == 3


def test_neighbours_of_one_side_of_the_house_are_both_told_of_its_ways() -> None:
    known = _between_neighbours(east="R. Ash", west="B. Beech", south="B. Beech")
    above = {"kind": "edge", "room": "bathroom", "part": "ceiling", "is": "neighbour",
             "owner": "C. Cole"}  # fmt: skip
    hole = {"kind": "entry_point", "name": "hole", "place": {"of": "bathroom/e1"},
            "beyond": "neighbour"}  # fmt: skip
    whose = Whose(_changed(known, above=above, hole=hole))
    assert whose.of_pool("neighbour, ceiling") == {"C. Cole"}
    assert whose.of_words("edge: neighbour, west side") == {"B. Beech"}
    assert whose.of_key("hole") == "R. Ash"
    walls = tuple(one for one in known.plan.walls if one.side.id == "bathroom/e1")
    turned = msgspec.structs.replace(walls[0], side=msgspec.structs.replace(
        walls[0].side, room="kitchen", name="s1"))  # fmt: skip
    plan = msgspec.structs.replace(known.plan, walls=(*walls, turned))
    both = _view("neighbours-consent", msgspec.structs.replace(known, plan=plan))
    joint = {one.name: [way.words.text for way in one.ways if way.joint] for one in both.pages}
    assert joint == {"B. Beech": ["way east"], "R. Ash": ["way east"], "": []}


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_neighbours_pages_begin_anew_and_name_no_other(language: str) -> None:
    known = _between_neighbours(east="R. Ash", west="B. Beech", south="D. Dale")
    made = sheet("neighbours-consent", known, language=language)
    assert made is not None
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(as_pdf(made))).pages]
    starts = [n for n, text in enumerate(pages) if text.startswith(made.head.paper)]
    parts = ["\n".join(pages[a:b]) for a, b in pairwise([*starts, len(pages)])]
    names = ("B. Beech", "D. Dale", "R. Ash")
    assert [[name in part for name in names] for part in parts] == [
        [True, False, False], [False, True, False], [False, False, True],
    ]  # fmt: skip
    # Each can be handed over alone: what it rests on stands on it.
    assert all(made.words["judged_head"] in part for part in parts)


def test_declined_work_keeps_the_risk_that_was_calculated_with_who_and_why() -> None:
    known = _house()
    assert known.choice is not None
    told = _view("declined-work", known)
    assert [one.words.text for one in told.openings] == [one.words for one in known.choice.declined]
    assert [(one.by, one.day, one.reason) for one in told.openings] == [
        ("R. Alder", "5 May 2026", "new tiles")
    ]
    bare = msgspec.structs.replace(known.choice, declined=())
    assert _view("declined-work", msgspec.structs.replace(known, choice=bare)) is None


def test_change_order_asks_for_nothing_that_is_signed_or_declined_and_its_lines_add_up() -> None:
    known = _house()
    assert known.estimate is not None
    told = _view("change-order", known)
    ways = {one.id: one.words for one in known.offered}
    settled = {WALL, "whole floor/bathroom", "panel off/bath/under|bath panel"}
    asked = {one.words.text for one in told.added}
    assert asked
    assert not asked & {ways[key] for key in settled}
    assert [one.sight for one in told.found] == ["much soil"]
    parts = [one.price for one in (*told.added, *told.shared) if one.price]
    assert _cents(told.sum) == sum(map(_cents, parts))
    look = known.job.entities["opened_units"]
    droppings = look | {"finds": [*look["finds"], {"kind": "droppings", "amount": "many"}]}
    seen = _view("change-order", _changed(known, opened_units=droppings)).found
    assert [one.sight for one in seen] == ["much soil", "droppings, many"]
    # An order needs something that was seen: before that it is a quote.
    assert _view("change-order", _without(known, "inspection")) is None


def test_an_opening_is_authorised_at_the_price_that_the_quote_has_for_it() -> None:
    known = _house()
    assert known.estimate is not None
    (asked,) = _view("authorisation", known).asks
    lines = [one for one in known.estimate.lines if one.key.endswith(f" {WALL}")]
    assert {one.key.split(" ")[2].partition("/")[2] for one in lines} == {
        "open", "close", "board", "waste",
    }  # fmt: skip
    assert _cents(asked.price) == sum(one.cents for one in lines)
    hours = msgspec.structs.replace(known.estimate, currency="")
    (bare,) = _view("authorisation", msgspec.structs.replace(known, estimate=hours)).asks
    assert bare.price == ""


def _cents(price: str) -> int:
    return round(100 * float(price.partition(" ")[0].replace(",", "")))


def test_call_sheet_has_twelve_questions_and_answers_only_what_the_job_holds() -> None:
    known = _house()
    told = _view("call-sheet", known)
    assert [one.number for one in told.questions] == [str(n) for n in range(1, 13)]
    held = {one.asked: [said.text for said in one.held] for one in told.questions if one.held}
    assert held["How old is the house, and what is it made of?"] == ["built in 1934"]
    assert held["Who may authorise work?"] == ["R. Alder has signed before"]
    assert any("23:00" in text for text in held["What do you hear, where, and at what hour?"])
    poison = next(one for one in told.questions if "poison" in one.asked)
    assert poison.held == ()
    laid = {"kind": "bait_left", "place": {"of": "units"}, "what": "blocks in a box"}
    again = _view("call-sheet", _changed(known, bait=laid))
    poison = next(one for one in again.questions if "poison" in one.asked)
    assert poison.held[0].text.startswith("blocks in a box")
    blank = _with(known, msgspec.structs.replace(known.job, entities={}))
    blank = msgspec.structs.replace(
        blank, plan=msgspec.structs.replace(known.plan, year_built=None, services=())
    )
    assert all(one.held == () for one in _view("call-sheet", blank).questions)


def test_call_sheet_shows_every_answer_of_the_first_call_and_the_visit_booked_in_it() -> None:
    call = {
        "kind": "call", "at": "2026-04-28T08:10:00+01:00", "by": "desk", "caller": "a tenant",
        "telephone": "555 0100", "address": "4 Weir Lane, second bell", "stops": "no",
        "may_order": "owner", "pays": "insurer", "since": "three weeks", "poison": "blocks, loft",
        "pets": "cat", "people": ["small children"], "reads": "Español", "built_of": "brick",
        "harm": ["fuses trip"], "access": "side gate", "keys": "with the agent",
        "left_alone": "the dresser", "urgency": "within two days",
    }  # fmt: skip
    seen = {"kind": "inspection", "grade": "told", "finished": False, "place": {"of": "kitchen"},
            "at": "2026-04-28T08:12:00+01:00", "note": "long tail",
            "finds": [{"kind": "live animal", "amount": "one"}]}  # fmt: skip
    visits = {"late": {"kind": "visit", "at": "2026-05-04"},
              "soon": {"kind": "visit", "at": "2026-04-30T09:30:00+01:00", "who": ["M. Tanner"]},
              "old": {"kind": "visit", "at": "2026-03-01"}}  # fmt: skip
    told = _view("call-sheet", _changed(_house(), call=call, met=seen, **visits))
    assert (told.caller, told.telephone, told.taken_by) == ("a tenant", "555 0100", "desk")
    assert (told.visit, told.who_comes) == ("30 April 2026, 09:30", "M. Tanner")
    assert told.urgency == (False, True, False)
    held = [[said.text for said in one.held] for one in told.questions]
    assert held[0] == ["no"]
    assert held[1][:2] == ["owner", "pays: insurer"]
    assert held[2][0] == "three weeks"
    assert held[5][0] == "live animal, Kitchen, 28 April 2026, 08:12 (long tail)"
    assert held[6] == ["blocks, loft"]
    assert held[7:9] == [["cat"], ["small children", "those who live there read: Español"]]
    assert held[9] == ["built in 1934", "brick"]
    assert "fuses trip" in held[10]
    assert held[11] == ["side gate", "keys: with the agent", "to be left alone: the dresser"]
    assert not any("live animal" in text for text in held[3]), "nothing is told twice"


def test_a_visit_to_come_does_not_date_the_papers_and_one_that_was_made_does() -> None:
    booked = {"kind": "visit", "at": "2027-01-05"}
    job = _changed(_house(), v=booked).job
    assert last_day(job) == last_day(_house().job)
    assert last_day(_changed(_house(), v={**booked, "done": "looked"}).job) == "2027-01-05"


def test_what_was_erased_is_said_in_the_language_of_the_paper() -> None:
    known = _house()
    entities = {
        key: one | {"caller": ERASED} if one["kind"] == "call" else one
        for key, one in known.job.entities.items()
    } | {"call_x": {"kind": "call", "at": "2026-05-04", "caller": ERASED}}
    gone = _with(known, msgspec.structs.replace(known.job, title=ERASED, entities=entities))
    for language, word, other in (("es", "(borrado)", ERASED), ("en", ERASED, "(borrado)")):
        made = sheet("call-sheet", gone, language=language)
        assert made is not None
        told = as_json(made).decode()
        assert told.count(word) >= 2, "title and caller"
        assert other not in told
