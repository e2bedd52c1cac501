"""Cases that the app must answer as the program does; ``python tests/shared/make.py`` writes them.

The answers are the program's own, so these cases say that both languages agree, not that either is
right: published and independent checks of the same functions stand elsewhere.
"""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Callable
from datetime import datetime
from itertools import count
from math import nextafter
from pathlib import Path
from typing import Any

import msgspec

from wainscot.chance import class_of, percent
from wainscot.cleaning.applied import applied
from wainscot.errors import WainscotError
from wainscot.job import Job
from wainscot.languages import languages, tell
from wainscot.plan.facing import facings
from wainscot.plan.model import Room
from wainscot.plan.sides import anticlockwise, sides
from wainscot.quantity import QuantityError, length, show_length
from wainscot.record import (
    Event,
    cover,
    diff,
    event,
    event_of,
    fold,
    hashes_in,
    line_of,
    sent_of,
)

FOLDER = Path(__file__).parent
DEVICES = ("van", "phone", "tablet-ö")
TYPED = (
    "3'-4 1/2\"", "10 ft 6 in", "38 mm", "1.2 m", "10'6", "1-1/2 in", "1 1/2 in", "½ in",
    "3′ 4½″", "2.4", "2,400 mm", "0.1 m", "1/3 in", "12 furlongs", "", "-8 in", "9\"", "3 yd",
    "4 ft. 3 in.", "2 FT 3 IN", "7 inches", "1001 m", "1/0 in", "1.005 m", "19.2 in", "126 1/2 in",
    "5''", "0.3048 m", "12.3456789012 m", "1e3 mm", "constructor", "3 toString",
)  # fmt: skip


def quantity() -> Any:
    """Return lengths as typed with their metres, and metres with what people read."""
    typed = []
    for text in TYPED:
        try:
            typed.append([text, length(text)])
        except QuantityError:
            typed.append([text, None])
    chance = random.Random(7)
    metres = [0.0, 0.0005, 0.9994, 0.9996, 1.125, 1.005, 2.675, -0.3, 3.2131, 12 * 0.0254]
    metres += [round(chance.uniform(-3, 30), chance.randint(0, 6)) for _ in range(200)]
    shown = [[one, show_length(one, "m"), show_length(one, "ft-in")] for one in metres]
    return {"typed": typed, "shown": shown}


def chances() -> Any:
    """Return chances, those at and beside each bound first, with their plate and class, 1 to 5."""
    bounds = (0.0, 0.025, 0.10, 0.33, 0.5, 0.66, 0.90, 0.975, 1.0)
    beside = [nextafter(one, way) for one in bounds for way in (0.0, 1.0)]
    every = sorted({*bounds, *beside, *(n / 100 for n in range(101))})
    return [[one, percent(one), class_of(one) + 1] for one in every]


def event_ids() -> Any:
    """Return events as lines of canonical JSON with their ids."""
    values: list[Any] = [
        {"kind": "room", "name": "Küche €", "polygon": [[0, 0.1], ["10 ft", 1e21], [1e-7, -0.0]]},
        {"kind": "room", "name": 'a"\\\u0007\u2028 \U0001f600', "\U0001f600": 1, "\ufb33": 2},
        {"kind": "room", "numbers": [333333333.33333329, 1e30, 4.5, 2e-3, 1e-27]},
    ]
    made = [
        event("add", job="job_a", device=DEVICES[n], seq=n + 1, prev="", at="2025-03-14T09:30Z",
              entity=f"e{n}", value=value, supersedes=("b" * 64, "a" * 64)[: n])
        for n, value in enumerate(values)
    ]  # fmt: skip
    return [line_of(one).decode() for one in made]


def folds() -> Any:
    """Return sets of events of several devices with the job that each adds up to."""
    return [_fold_case(random.Random(seed), hides=seed % 2 == 1) for seed in range(24)]


def _fold_case(chance: random.Random, *, hides: bool) -> Any:
    events: list[Event] = []
    last: dict[str, Event] = {}
    for n in range(chance.randint(3, 24)):
        device = chance.choice(DEVICES)
        before = last.get(device)
        content = _content(chance, events)
        value, opened = content.get("value"), {}
        if hides:
            value, opened = cover(value, lambda: f"{chance.getrandbits(256):064x}",
                                  content.get("field", ""))  # fmt: skip
        made = event(
            **{**content, "value": value}, opened=opened, job="job_a", device=device,
            seq=before.seq + 1 if before else 1, prev=before.id if before else "",
            at=f"2025-03-14T{9 + n // 6:02}:{chance.randrange(60):02}"
            + chance.choice(["Z", "+01:00", ":07.000250+00:00"]),
            supersedes=(chance.choice(events).id,) if events and chance.random() < 0.3 else (),
        )  # fmt: skip
        last[device] = made
        events.append(made)
    chance.shuffle(events)
    if hides and events:  # somebody's copy lacks a text, whether that was erased or not
        cut = chance.randrange(len(events))
        bare = msgspec.structs.replace(events[cut].beside, opened={})
        events[cut] = msgspec.structs.replace(events[cut], beside=bare)
    return {"events": [json.loads(sent_of(one)) for one in events],
            "job": _plain(fold(events, "job_a"))}  # fmt: skip


def _content(chance: random.Random, before: list[Event]) -> dict[str, Any]:
    entity = chance.choice(["r", "s", "ü"])
    name = chance.choice(["name", "storey", "note"])
    value = chance.choice(["Kitchen", "Utility", 1.5, ["a", 2], None])
    hidden = [key for one in before for key in hashes_in(one.value)]
    return chance.choice([
        {"kind": "add", "entity": entity, "value": {"kind": "room", name: value}},
        {"kind": "add", "entity": entity, "value": {"kind": "room", name: "again"}},
        {"kind": "set", "entity": entity, "field": name, "value": value},
        {"kind": "set", "entity": "", "field": "title", "value": str(value)},
        {"kind": "withdraw", "entity": entity, "field": name},
        {"kind": "withdraw", "entity": entity},
        {"kind": "set", "entity": entity, "field": "finds", "value": [{"note": str(value)}, {}]},
        {"kind": "set", "entity": entity, "field": "signature", "value": "M1 2L3 4"},
        {"kind": "add", "entity": f"gone{len(before)}",
         "value": {"kind": "erased", "texts": hidden[: len(hidden) // 2 + 1]}},
    ])  # fmt: skip


def diffs() -> Any:
    """Return two states of a job, what the record held, and the events between."""
    found = []
    for seed in range(12):
        chance = random.Random(100 + seed)
        prior = [event_of(one) for one in _fold_case(chance, hides=seed % 2 == 1)["events"]]
        old = fold(prior, "job_a")
        new = msgspec.structs.replace(
            old, title=chance.choice([old.title, "Mill"]), entities=_edited(old, chance),
            conflicts=old.conflicts if chance.random() < 0.5 else (),
        )  # fmt: skip
        seq = max((one.seq for one in prior if one.device == "van"), default=0) + 1
        try:
            made = diff(old, new, device="van", seq=seq, prev="p", at="2025-03-15T08:00Z",
                        prior=prior, salt=_salts())  # fmt: skip
        except WainscotError:
            continue
        found.append({
            "prior": [json.loads(sent_of(one)) for one in prior], "old": _plain(old),
            "new": _plain(new), "seq": seq, "ids": [one.id for one in made],
            "lines": [sent_of(one).decode() for one in made],
        })  # fmt: skip
    return found


def _salts() -> Callable[[], str]:
    """Give salts that the app's test gives too: the SHA-256 of 0, 1, and so on."""
    numbers = count()
    return lambda: hashlib.sha256(str(next(numbers)).encode()).hexdigest()


def _edited(old: Job, chance: random.Random) -> dict[str, Any]:
    entities = {key: dict(value) for key, value in old.entities.items() if chance.random() < 0.8}
    for value in entities.values():
        if chance.random() < 0.6:
            value["name"] = "Scullery"
        if chance.random() < 0.4:
            value.pop("note", None)
    return {**entities, "new": {"kind": "room", "name": "Box room"}}


def _plain(job: Job) -> Any:
    return {"id": job.id, "title": job.title, "units": job.units, "entities": job.entities,
            "conflicts": [msgspec.structs.asdict(one) for one in job.conflicts]}  # fmt: skip


ROOMS: tuple[dict[str, list[tuple[float, float]]], ...] = (
    {"a": [(0, 0), (4.2, 0), (4.2, 3.6), (0, 3.6)], "b": [(0, 3.7), (2, 3.7), (2, 6), (0, 6)],
     "c": [(2.1, 3.7), (4.2, 3.7), (4.2, 6), (2.1, 6)]},
    {"ell": [(0, 3), (0, 0), (5, 0), (5, 1.5), (2, 1.5), (2, 3)],
     "in": [(2.1, 1.6), (2.1, 3), (5, 3), (5, 1.6)]},
    {"slant": [(0, 0), (3, 0), (4, 1), (4, 3), (0, 3), (0, 1.5)]},
    {"wide": [(0, 0), (10, 0), (10, 2), (0, 2)], "x": [(1, 2.3), (3, 2.3), (3, 4), (1, 4)],
     "y": [(3.4, 2.12), (6, 2.12), (6, 4), (3.4, 4)]},
)  # fmt: skip


def geometry() -> Any:
    """Return room outlines with their sides and the stretches of wall between them."""
    found = []
    for rooms in ROOMS:
        outlines = {key: anticlockwise(points) for key, points in rooms.items()}
        named = {key: sides(key, outline) for key, outline in outlines.items()}
        walls = facings([
            Room(id=key, name=key, storey="g", polygon=outlines[key], sides=named[key])
            for key in rooms
        ])  # fmt: skip
        found.append({
            "rooms": rooms, "outlines": outlines,
            "sides": [
                [one.id, one.normal, one.level_line, one.low, one.high, one.turn,
                 list(one.point(0.3, 0.1))]
                for key in rooms for one in named[key]
            ],
            "walls": [
                [one.side.id, one.low, one.high, one.gap, one.other.id if one.other else ""]
                for one in walls
            ],
        })  # fmt: skip
    return found


SAID = (
    "nobody looked", "Nobody looked", "3 steps from gap behind the stove and the sink",
    "stud bay W3, wall between Bath and Hall, from the bath", "joist bays F3 to F5 and N7",
    "House mice, here now: very likely (more than 9 in 10); how they came in is not clear; nobody "
    "has looked into 90 of 95 hidden voids.", "outside > loft L1 > Hall > under the bath B1",
    "found: droppings (many), gnawing (cable); at gap behind the stove and the sink",
    "Built in 1962: paint may hold lead. Any cut that destroys painted board counts as covered "
    "work until the paint is tested. Painted area touched in one room within 30 days adds up. "
    "Follow local code, the label and your licensed trade.",
    "width 1.70 m, depth 700 mm, height 520 mm assumed (common practice): bath in Bath",
    "height 2'-10 1/2\" assumed (pages for sizes (several agreeing), second-hand): bath in Hall",
    "First find out (asbestos, lead paint), then lift one floorboard and look both ways along "
    "joist bay F2, under the Bath floor: costs 1.5 hours; settles F2, F3 and 2 more",
    "that link leads nowhere: it ended, was taken back, or is not whole; "
    "ask who sent it for another",
    "the moon is made of cheese, and nobody knows why", "nobody looked; go in and polish it",
    "worth 1,250 GBP", "worth 5 gbp", "at {what}", "", "12.5 m2",
    "\ue000 in \ue001", "in in in in in in in in in in", "ñandú, few",
    "found: Ärger (many)", "under the Straße floor", "at Straße; at straße", "Él looked",
)  # fmt: skip
"""Sentences of the steps, and what is none."""
NAMES = ("Bath", "Hall", "gap behind the stove and the sink", "Straße", "", " ")


def phrases() -> Any:
    """Return what is said of English texts in every other language."""
    return {
        "names": NAMES,
        "said": {
            language: [[text, *msgspec.structs.astuple(tell(text, language, NAMES))]
                       for text in SAID]
            for language in languages()
        },
    }  # fmt: skip


def contact() -> Any:
    """Return applications of a job at a moment, with how each is judged."""
    label = {
        "kind": "product_label",
        "product": "disinfectant",
        "registration": "n/a",
        "contact_time": "10 min",
        "dilution": "1:64",
        "surfaces": ["wood", "sealed"],
    }
    labels = {
        "good": label,
        "half": {**label, "contact_time": "1/2 h"},
        "bare": {**label, "contact_time": "10"},
        "none": {**label, "surfaces": []},
        "odd": {**label, "product": "soap"},
        "instant": {**label, "contact_time": "0 min"},
        "enzyme": {**label, "product": "enzyme", "contact_time": "0 min"},
        "unnamed": {**label, "registration": " "},
        "strange": {**label, "dilution": "1/64"},
    }
    logs: list[tuple[str, str, list[tuple[str, str]]]] = [
        ("good", "wood", []),
        ("good", "wood", [("12:03:00", "wet again"), ("12:10:00", "end")]),
        ("good", "wood", [("12:06:00", "end")]),
        ("good", "masonry", [("12:30:00", "end")]),
        ("good", "", [("12:04:00", "dry seen")]),
        ("good", "glass", []),
        ("good", "", [("12:04:00", "dry seen"), ("12:05:00", "wet again")]),
        ("good", "", [("12:04:00", "dry seen"), ("12:05:00", "wet again"), ("12:14:00", "end")]),
        ("good", "", [("12:11:00", "dry seen")]),
        ("good", "", [("11:59:00", "wet again")]),
        ("good", "", [("12:09:59.999", "end")]),
        ("good", "", [("12:10:00", "end")]),
        ("good", "wood", [("12:20:00", "wet again")]),
        *((name, "", [("12:40:00", "end")]) for name in labels if name != "good"),
    ]
    job = Job(id="job_wet", units="m", entities={
        "hall": {"kind": "room", "name": "Hall"}, **labels,
        **{f"a{n:02}": {"kind": "application", "label": name, "place": {"of": "hall"},
                        "at": "2026-05-20T12:00:00+01:00", "surface": surface}
           for n, (name, surface, _) in enumerate(logs)},
        **{f"c{n:02}_{m}": {"kind": "contact", "application": f"a{n:02}",
                            "at": f"2026-05-20T{at}+01:00", "what": what}
           for n, (_, _, moments) in enumerate(logs) for m, (at, what) in enumerate(moments)},
    })  # fmt: skip
    told = [
        [now, one.id, one.standing, one.needed, one.wet]
        for now in ("2026-05-20T11:08:00Z", "2026-05-20T11:45:00Z")
        for one in applied(job, datetime.fromisoformat(now))
    ]
    return {"entities": job.entities, "told": told}


CASES = {"quantity": quantity, "chance": chances, "event_id": event_ids, "fold": folds,
         "diff": diffs, "geometry": geometry, "phrases": phrases, "contact": contact}  # fmt: skip


def text_of(name: str) -> str:
    """Return the text of one file of cases."""
    return json.dumps(CASES[name](), indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    for each in CASES:
        (FOLDER / f"{each}.json").write_text(text_of(each), encoding="utf-8")
