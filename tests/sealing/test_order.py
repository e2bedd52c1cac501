"""Never shut animals in: common practice, no source."""

from __future__ import annotations

import pytest

from wainscot.sealing import Seal, SealList, order_of
from wainscot.sealing.order import not_yet_closed


def _list() -> SealList:
    def one(key: str, sort: str = "entry point") -> Seal:
        return Seal(key, key, sort, 1, 1.0, "", "mortar")

    seals = (one("drain"), one("door"), one("nursery wall", "passage"), one("edge", "passage"))
    return SealList("norway rat", "as built", seals, 4.0, (), "")


def test_the_way_in_use_is_closed_last_and_after_the_traps() -> None:
    steps = order_of(_list(), used=frozenset({"drain"}), in_use=0.6)
    assert [one.phase for one in steps] == ["before the last", "trap", "quiet", "last", "watch"]
    assert steps[0].seals == ("door", "edge", "nursery wall")
    assert steps[3].seals == ("drain",)


def test_where_nobody_knows_which_way_is_used_every_way_in_stays_open_till_the_last() -> None:
    steps = order_of(_list(), in_use=0.6)
    assert next(one for one in steps if one.phase == "last").seals == ("door", "drain")


def test_a_nest_by_a_nursery_is_parted_at_once_without_closing_their_way_out() -> None:
    steps = order_of(
        _list(), used=frozenset({"drain"}), in_use=0.6,
        cannot_wait=frozenset({"nursery wall", "drain"}),
    )  # fmt: skip
    assert steps[0].phase == "now"
    assert steps[0].seals == ("nursery wall",)


@pytest.mark.parametrize("quiet", [{"in_use": 0.01}, {"in_use": 0.6, "trap_confirmed_quiet": True}])
def test_where_it_is_quiet_all_of_it_is_closed_at_once_and_watched(quiet: dict[str, float]) -> None:
    steps = order_of(_list(), used=frozenset({"drain"}), **quiet)
    assert [one.phase for one in steps] == ["before the last", "watch"]
    assert steps[0].seals == ("door", "drain", "edge", "nursery wall")


def test_every_seal_is_closed_in_some_step() -> None:
    for used in (frozenset[str](), frozenset({"door"}), frozenset({"edge"})):
        for wait in (frozenset[str](), frozenset({"edge", "door"})):
            for chance in (0.0, 0.5, 1.0):
                steps = order_of(_list(), used=used, in_use=chance, cannot_wait=wait)
                assert not_yet_closed(_list(), steps) == ()


def test_a_chance_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        order_of(_list(), in_use=1.2)
