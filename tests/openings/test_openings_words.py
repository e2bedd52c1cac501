"""The words of an opening: what it takes from people, what it touches, what is refused."""

from __future__ import annotations

import msgspec
import pytest
from row import draws, graph, singles

from houses import as_job, semi
from openings.test_job_openings import kept
from wainscot import plan, voids
from wainscot.access import Access, Charge
from wainscot.book import DEFAULT
from wainscot.errors import InputError
from wainscot.openings import Choice, Known, Signed, Wanted, choose, logged
from wainscot.openings.words import disturbs, line

WATER = Charge("w", "water", "", "water", 0.5)
SET_UP = Charge("r", "room", "room", "room", 1.0)


def with_charges(*charges: Charge) -> tuple[Access, ...]:
    return tuple(msgspec.structs.replace(one, charges=charges) for one in singles())


def chosen(*charges: Charge, known: Known | None = None, weigh: bool = False) -> Choice:
    return choose(
        draws(), graph(), with_charges(*charges), DEFAULT,
        known=known or Known(), wanted=Wanted(weigh_kept=weigh), gap=0.0,
    )  # fmt: skip


def test_a_room_set_up_and_water_off_are_told_and_only_where_they_are() -> None:
    def said(*charges: Charge) -> list[str]:
        return disturbs([chosen(*charges).openings[0]], {"room": "Kitchen"})

    assert said() == []
    assert said(SET_UP) == ["Kitchen out of use"]
    assert said(WATER) == ["water off"]
    assert said(SET_UP, WATER) == ["Kitchen out of use", "water off"]
    assert disturbs([chosen(SET_UP).openings[0]]) == ["the room out of use"]


def test_the_line_of_an_opening_names_what_is_kept_there() -> None:
    touched = chosen(known=Known(kept={0: ("the tiles", "the dado")}), weigh=True)
    first = next(one for one in touched.openings if one.id == "bay/1")
    assert line([first], "").endswith("touches what is kept: the tiles, the dado [bay/1]")


@pytest.mark.parametrize(
    ("wanted", "code", "path"),
    [
        (Wanted(must=("F99",)), "unknown-void", "openings.must"),
        (Wanted(without=("bay/77",)), "unknown-opening", "openings.not"),
        (Wanted(must=("F1", "F2"), most=1.5), "too-dear", "openings.max_cost"),
        (Wanted(must=("F1",), without=("bay/1",)), "unreachable-void", "openings.must"),
    ],
)
def test_a_refusal_says_where_it_is_to_be_mended(wanted: Wanted, code: str, path: str) -> None:
    with pytest.raises(InputError) as told:
        choose(draws(), graph(), singles(), DEFAULT, wanted=wanted)
    assert [(one.code, one.path) for one in told.value.faults] == [(code, path)]


def test_what_was_declined_and_is_no_longer_there_is_told_and_costs_nothing() -> None:
    known = Known(signed=Signed(declined={"bay/9": "the owner, 2 May"}))
    (left,) = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0).declined
    assert left.words == "no longer on the plan"
    assert (left.said, left.voids, left.chance, left.loss) == ("the owner, 2 May", (), 0.0, 0.0)


def test_a_kept_point_bars_cuts_of_its_own_storey_only() -> None:
    # The floor between the storeys is thinner than 0.3 m: its both faces are near to either.
    point = {"storey": "upper", "at": [4.0, 2.0]}
    between = {"whole ceiling/front_room", "whole floor/front_bedroom"}
    assert kept(point, semi()) == between
    assert kept({**point, "storey": "ground"}, semi()) == {*between, "whole floor/front_room"}


def test_the_id_of_what_was_opened_holds_letters_and_figures_only() -> None:
    job = as_job(semi())
    drawn = plan.read(job)
    whole = voids.build(drawn, "norway rat")
    v = whole.kinds.index("joist bay")
    labels = (*whole.labels[:v], "F 1/2", *whole.labels[v + 1 :])
    renamed = msgspec.structs.replace(whole, labels=labels)
    after = logged(job, drawn, renamed, {"F 1/2": "clean"})
    assert set(after.entities) - set(job.entities) == {"opened_F_1_2"}
