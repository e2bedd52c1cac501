"""What arises only from several ways taken together: the area that adds up in one room."""

from __future__ import annotations

import pytest

from wainscot.access import Access, Site, holds_together
from wainscot.access.hazards.lead import MINOR_INSIDE


def cut(name: str, room: str, area: float, **changed: object) -> Access:
    fields: dict[str, object] = {
        "id": name, "act": "board between studs", "words": "", "reaches": (), "room": room,
        "minutes": 1.0, "repair": 1.0, "finish": "painted board", "area": area,
        "disturbance": "cut", "method": "", "nights": 0, "at": (0.0, 0.0, 0.0),
    }  # fmt: skip
    return Access(**{**fields, **changed})


OLD = Site(1934, "US")


def test_two_small_cuts_in_one_room_pass_six_square_feet_together() -> None:
    # 40 CFR 745.83: 6 square feet or less a room is minor repair; 0.3 + 0.3 m2 is 6.5 ft2.
    one, two = cut("a", "kitchen", 0.3), cut("b", "kitchen", 0.3)
    assert holds_together([one], OLD) == {}
    ((hold,),) = holds_together([one, two], OLD).values()
    assert (hold.standing, hold.key) == ("stop", "lead area/kitchen")
    assert "0.60 m2" in hold.words


def test_areas_of_two_rooms_do_not_add_up() -> None:
    half = 0.9 * MINOR_INSIDE.value
    assert holds_together([cut("a", "kitchen", half), cut("b", "bath", half)], OLD) == {}


@pytest.mark.parametrize("site", [Site(1985, "US"), Site(1934, "UK")])
def test_a_newer_house_or_another_country_has_no_such_rule(site: Site) -> None:
    assert holds_together([cut("a", "kitchen", 5.0)], site) == {}


def test_what_only_comes_off_breaks_no_paint() -> None:
    assert holds_together([cut("a", "kitchen", 5.0, disturbance="taken off")], OLD) == {}


def test_a_released_room_is_released() -> None:
    site = Site(1934, "US", frozenset({"lead area/kitchen"}))
    assert holds_together([cut("a", "kitchen", 5.0)], site) == {}
