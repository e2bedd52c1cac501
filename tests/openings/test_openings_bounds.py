"""Both sides of what counts as reached, near and signed, and each word that follows from it."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, cast

import msgspec
import numpy as np
import pytest
from row import draws, graph, opening, singles

from wainscot.access import CutAt
from wainscot.access.reaching import is_reached, reach, share_reached
from wainscot.book import DEFAULT
from wainscot.errors import InputError
from wainscot.job import Authorisation, Job, Place, typed
from wainscot.openings import Known, Signed, choose, solve, solving
from wainscot.openings.kept import touching
from wainscot.openings.signing import authorised, declined, released
from wainscot.openings.words import compared, left, line, lines, money, risk, standing
from wainscot.plan.model import Plan

# What counts as reached.


@pytest.mark.parametrize(("share", "counts"), [(0.8, True), (0.1 * 8, True), (0.7999, False)])
def test_a_void_counts_as_reached_from_eight_tenths_on(share: float, counts: bool) -> None:
    assert is_reached(share) == counts
    choice = choose(draws(), graph(), (opening("bay/1", 1, share=share),), DEFAULT, gap=0.0)
    assert choice.balanced.voids == counts
    (one,) = [each for each in choice.openings if each.id == "bay/1"]
    assert (one.voids, one.partly) == ((("F1",), ()) if counts else ((), ("F1",)))


def test_a_hand_reaches_past_the_cut_and_a_thin_tool_less() -> None:
    assert (reach(0.05), reach(0.049)) == (1.5, 0.3)
    # Ten metres, one cut a metre wide in the middle: 1 + 2 x 1.5 of 10.
    assert share_reached(0.0, 10.0, [(4.5, 5.5)], 0.1) == pytest.approx(0.4)
    # What fills the way stops it; cuts that overlap count once; beyond the ends is nothing.
    assert share_reached(0.0, 10.0, [(4.5, 5.5)], 0.1, [(6.0, 6.1)]) == pytest.approx(0.3)
    assert share_reached(0.0, 10.0, [(4.5, 5.5), (5.0, 6.0)], 0.1) == pytest.approx(0.45)
    assert share_reached(0.0, 2.0, [(0.0, 1.0)], 0.1) == 1.0
    assert share_reached(1.0, 1.0, [], 0.1) == 1.0


# What is kept.

STOREY = SimpleNamespace(id="ground", elevation=0.0, height=2.4)


def _cut(bottom: float, top: float, *outline: tuple[float, float], part: str = "wall") -> CutAt:
    return CutAt(cast(Any, part), "room", "room/n1", outline, bottom, top, 0.1, 0.0125)


def _touched(cut: CutAt, place: Place) -> bool:
    item = SimpleNamespace(name="clock", place=place)
    plan = SimpleNamespace(kept=[item], storeys=[STOREY], fixtures=[], rooms=[], drawn_walls={},
                           walls=[])  # fmt: skip
    one = msgspec.structs.replace(opening("cut/1", 1), cuts=(cut,))
    found = touching([one], cast(Plan, plan), graph())
    assert found in ({}, {0: ("clock",)})
    return bool(found)


@pytest.mark.parametrize(("away", "near"), [(0.3, True), (0.31, False)])
@pytest.mark.parametrize(
    "outline", [((0.0, 0.0), (1.0, 0.0)), ((0.0, 0.0), (1.0, 0.0), (1.0, -1.0), (0.0, -1.0))]
)
def test_a_cut_touches_a_kept_point_from_thirty_centimetres_on(
    outline: Sequence[tuple[float, float]], away: float, near: bool
) -> None:
    at = Place(storey="ground", at=(0.5, away))
    assert _touched(_cut(0.5, 1.0, *outline), at) == near
    assert not _touched(_cut(0.5, 1.0, *outline), msgspec.structs.replace(at, storey="first"))


@pytest.mark.parametrize(
    ("bottom", "top", "near"),
    [(2.69, 3.0, True), (2.71, 3.0, False), (-1.0, -0.3, True), (-1.0, -0.31, False)],
)
def test_a_kept_point_is_of_its_storey_and_of_the_floors_round_it(
    bottom: float, top: float, near: bool
) -> None:
    cut = _cut(bottom, top, (0.0, 0.0), (1.0, 0.0))
    assert _touched(cut, Place(storey="ground", at=(0.5, 0.0))) == near


# The owner's word.


@pytest.mark.parametrize(
    ("opening_id", "begun", "status"),
    [("no", True, "declined"), ("yes", True, "authorised"), ("yes", False, "authorised"),
     ("new", True, "change order"), ("new", False, "planned")],
)  # fmt: skip
def test_what_is_asked_once_work_has_begun_is_a_change_order(
    opening_id: str, begun: bool, status: str
) -> None:
    word = Signed({"yes": "owner", "no": "owner"}, {"no": "owner"})
    assert word.status(opening_id, begun) == status
    # Where nothing was ever signed there is nothing to change.
    assert Signed().status("new", True) == "planned"


def test_each_word_of_the_owner_is_an_entity_of_its_own_and_nothing_is_signed_twice() -> None:
    job = authorised(Job(id="job_a"), ["a", "b", "a"], by="owner", at="2026-05-20", price="90")
    assert typed(job)["authorisation_1"] == Authorisation(
        openings=["a", "b"], by="owner", at="2026-05-20", price="90")  # fmt: skip
    assert authorised(job, ["b", "a"], by="owner") is job
    job = declined(job, "c", by="owner", reason="parquet")
    more = authorised(job, ["b", "c", "d"], by="owner")
    assert more.entities["authorisation_2"] == {
        "kind": "authorisation", "openings": ["d"], "by": "owner"}  # fmt: skip
    assert more.entities["declined_1"] == {
        "kind": "declined", "opening": "c", "by": "owner", "reason": "parquet"}  # fmt: skip
    settled = released(more, "lead/hall", by="A. Tester", evidence="swab 12")
    assert settled.entities["release_1"] == {
        "kind": "release", "hold": "lead/hall", "by": "A. Tester", "evidence": "swab 12",
    }  # fmt: skip


# In words.


def test_how_much_of_the_balanced_set_is_authorised_is_said() -> None:
    for signed, said in (
        ((), "None of it is authorised yet: nobody cuts."),
        ((1, 3), "2 of 5 openings are authorised; at the others nobody cuts."),
        ((1, 2, 3, 4, 5), "All of it is authorised."),
        # A signature for what is not in the set counts for nothing here.
        ((6,), "None of it is authorised yet: nobody cuts."),
    ):
        known = Known(signed=Signed(authorised={f"bay/{n}": "owner" for n in signed}))
        choice = choose(draws(), graph(), singles(), DEFAULT, known=known, gap=0.0)
        assert len(choice.balanced.openings) == 5
        assert standing(choice) == said


def test_lines_beyond_the_most_are_counted() -> None:
    each = tuple(msgspec.structs.replace(one, act=f"act {n}") for n, one in enumerate(singles()))
    choice = choose(draws(), graph(), each, DEFAULT, gap=0.0)
    whole = lines(choice)
    assert not any("more lines" in one for one in whole)
    assert "and 2 more lines (--all)" in lines(choice, 3)
    assert not any("more lines" in one for one in lines(choice, 5))
    assert whole[0] == f"{choice.soiled:.1f} soiled voids are expected that do not lie open yet."
    assert compared(choice)[0] == "Compared with:"
    assert len(compared(choice)) == 1 + len(choice.compared)


def test_a_line_says_what_is_shared_who_signed_and_which_one_it_is() -> None:
    known = Known(signed=Signed(authorised={"bay/1": "the owner, 2 May"}))
    choice = choose(draws(), graph(), singles(hours=0.5), DEFAULT, known=known, gap=0.0)
    first, second, *_ = sorted(choice.openings, key=lambda one: one.id)
    alone = line([first], "EUR")
    assert alone.endswith("; authorised by the owner, 2 May [bay/1]")
    assert "90 in 100 that it finds soil" in alone
    assert "EUR beside what is shared" in alone
    both = line([first, second], "")
    assert "2 times" in both
    assert "the likeliest 90 in 100" in both
    assert "1.0 hours beside what is shared" in both
    assert "[bay/1]" not in both
    assert "authorised" not in line([second], "")


def test_what_is_left_is_told_with_its_risk() -> None:
    signed = Signed(declined={"bay/1": "owner, parquet"})
    known = Known(signed=signed, seen={2: "heavy", 3: "clean"})
    choice = choose(draws(), graph(), singles()[:5], DEFAULT, known=known, gap=0.0)
    text = " ".join(left(choice))
    assert "Declined (owner, parquet)" in text
    assert "90 in 100 that it leaves soil, 14.4 hours of callbacks. [bay/1]" in text
    assert "Open already, to be cleaned: F2." in text
    assert "Opened and seen clean: F3." in text
    assert "From 2000 draws, " in text
    assert "change order" not in text
    (one,) = choice.declined
    nothing = risk(msgspec.structs.replace(one, voids=()), "")
    assert nothing.endswith("what it would show is reached another way, or no longer asked.")


def test_money_is_whole_and_hours_to_a_tenth() -> None:
    assert (money(1234.56, "GBP"), money(1234.56, "")) == ("1,235 GBP", "1234.6 hours")


# A choice that the time did not suffice for.


@pytest.mark.parametrize(("most", "code"), [(np.inf, "no-time"), (2.0, "too-dear")])
def test_no_choice_found_is_told_by_what_was_asked(
    monkeypatch: pytest.MonkeyPatch, most: float, code: str
) -> None:
    monkeypatch.setattr(solving._Programme, "solve", lambda *_: (None, 0.0))
    with pytest.raises(InputError) as told:
        solve(_problem(), 1.0, most=most)
    (fault,) = told.value.faults
    assert fault.code == code
    assert "inf" not in str(fault)


def _problem() -> Any:
    """Return one opening that reaches one void."""
    none = np.zeros(0, dtype=np.int32)
    return solving.Problem(
        ids=("a",), cost=np.ones(1), charges=(), charge=np.zeros(0), link_opening=none,
        link_charge=none, pair_opening=np.zeros(1, dtype=np.int32),
        pair_void=np.zeros(1, dtype=np.int32), share=np.ones(1), loss=np.full(1, 3.0),
    )  # fmt: skip
