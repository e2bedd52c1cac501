"""What somebody who is called back is told: all of it that is still true, and nothing else."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import msgspec
import numpy as np

from houses import as_job, bungalow
from wainscot import voids
from wainscot.all_clear.callback import Callback, callback_of
from wainscot.sealing import Remaining, SealList
from wainscot.voids.graph import Graph

ENTITIES: dict[str, dict[str, Any]] = {
    "seal_1": {"kind": "seal", "closes": "broken", "material": "mortar", "by": "Crew",
               "photo": "p", "at": "2026-03-01", "inspect_at": "2027-03-01"},
    "seal_2": {"kind": "seal", "closes": "edge/outside, roof", "material": "mesh 6 mm",
               "by": "Crew", "photo": "p", "at": "2026-03-02"},
    "seal_3": {"kind": "seal", "closes": "edge/ground", "material": "mesh 6 mm", "by": "Crew"},
    "trap_1": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-02-20"},
    "trap_2": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-02-20"},
    "trap_3": {"kind": "trap", "place": {"of": "kitchen"}, "at": "2026-02-20"},
    "check_2": {"kind": "trap_check", "trap": "trap_2", "at": "2026-03-05", "state": "set",
                "taken_up": True},
    "check_3": {"kind": "trap_check", "trap": "trap_3", "at": "2026-03-05", "state": "missing"},
    "bait_1": {"kind": "bait_left", "place": {"of": "kitchen"}, "what": "lure block"},
    "bait_2": {"kind": "bait_left", "place": {"of": "kitchen"}, "what": "old lure",
               "fetched_at": "2026-03-05"},
    "smell_1": {"kind": "air_reading", "room": "kitchen", "at": "2026-03-03T09:00:00+00:00",
                "of": "odour", "value": 3.0},
    "smell_2": {"kind": "air_reading", "room": "kitchen", "at": "2026-03-09T09:00:00+00:00",
                "of": "odour", "value": 1.5, "outside": 4.0, "heating": False, "windows": "shut"},
    "no_thanks": {"kind": "declined", "opening": "the kitchen ceiling", "by": "owner",
                  "reason": "painted last year"},
}  # fmt: skip


def _told(looked: float = 0.0) -> tuple[Callback, Graph, list[int]]:
    document = bungalow()
    document["entities"] |= ENTITIES
    document["entities"]["broken"] = {
        "kind": "entry_point", "name": "broken brick", "beyond": "outside",
        "place": {"of": "kitchen"},
    }  # fmt: skip
    job = as_job(document)
    graph = voids.build(voids.framed(job).plan, "norway rat")
    hidden = np.flatnonzero(graph.hidden)[:3].tolist()
    soil = np.zeros((10, len(graph.keys)), dtype=np.uint8)
    # Soiled in nine, six and no draws of ten; and a room, which hides nothing.
    soil[:6, hidden[0]] = 1
    soil[:9, hidden[1]] = 2
    soil[:, np.flatnonzero(~graph.hidden)[0]] = 1
    draws = SimpleNamespace(weight=np.full(10, 0.1), soil=soil)
    mine = SealList(
        "norway rat",
        "as built",
        (),
        0.0,
        (Remaining("edge: neighbour, west side", "belongs to a neighbour", ("loft",), 1),),
        "",
    )
    seen = np.zeros(len(graph.keys))
    seen[hidden[1]] = looked
    return callback_of(job, graph, cast(Any, draws), mine, seen), graph, hidden


def test_voids_left_shut_come_likeliest_first_and_opened_ones_not_at_all() -> None:
    found, graph, (first, second, _) = _told()
    assert found.left_shut == (
        f"{graph.words[second]} (90 in 100 that it is soiled)",
        f"{graph.words[first]} (60 in 100 that it is soiled)",
    )  # fmt: skip
    opened, _, _ = _told(looked=1.0)
    assert opened.left_shut == found.left_shut[1:]
    half, _, _ = _told(looked=0.5)
    assert half.left_shut == found.left_shut


def test_what_stands_is_open_or_lies_there_is_named_and_what_is_done_with_is_not() -> None:
    found, _, _ = _told()
    assert found.declined == ("the kitchen ceiling: painted last year",)
    assert found.open_ways == ("edge: neighbour, west side (belongs to a neighbour)",)
    # A seal without a photo is none; those that count say what they close in words.
    assert found.seals == (
        "broken brick: mortar, 2026-03-01, by Crew, to be looked at again 2027-03-01",
        "edge: outside, roof: mesh 6 mm, 2026-03-02, by Crew",
    )
    assert found.traps == ("trap_1",)
    assert found.bait == ("lure block",)


def test_the_latest_reading_of_a_room_is_told_with_its_air() -> None:
    found, _, _ = _told()
    assert found.readings == (
        "Kitchen: odour 1.5 on 2026-03-09, 4 C outdoors, heating off, windows shut",
    )


def test_it_can_be_written_down() -> None:
    assert msgspec.json.decode(msgspec.json.encode(_told()[0]), type=Callback) == _told()[0]
