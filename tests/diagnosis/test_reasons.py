"""Why a void stands where it stands: the words name what was logged and nothing else."""

from __future__ import annotations

import pytest

from small import evidence_of, finds, graph, look
from wainscot.diagnosis.reasons import Reasons


def reason(placed, void):
    return Reasons(graph(), evidence_of([placed]), ()).of(void, 0.5)


def test_a_find_in_one_of_several_voids_is_not_called_a_sound():
    where = (2, 3)
    said = reason(look("i", where, finds("droppings", "many"), share_seen=0.6), 2)
    assert said == "found here or close by: droppings (many)"


@pytest.mark.parametrize("kind", ["sound", "occupant's report"])
def test_a_sign_of_a_zone_is_named_as_what_it_is(kind):
    placed = look("i", (), finds(kind), zone=(4, 5, 6), method="asked", finished=False)
    assert reason(placed, 5) == f"{kind} near"


def test_two_sounds_near_are_told_once():
    ear = [look(f"i{n}", (), finds("sound"), zone=(4, 5, 6), method="ear") for n in (1, 2)]
    assert Reasons(graph(), evidence_of(ear), ()).of(5, 0.5) == "sound near"
