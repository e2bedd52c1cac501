"""The patch list: amounts against sums done by hand."""

from __future__ import annotations

import pytest

from wainscot.access import CutAt
from wainscot.papers.opening_sheet.patch import Setting, patch_list

WALL = CutAt("wall", "kitchen", "kitchen/n1", ((1.0, 0.0), (1.4, 0.0)), 0.0, 1.2, 0.48, 0.0125)
FLOOR = CutAt(
    "floor", "kitchen", "", ((0.0, 0.0), (0.6, 0.0), (0.6, 0.36), (0.0, 0.36)), 0.0, 0.0, 0.216,
    0.022,
)  # fmt: skip
SETTING = Setting("m", True, False, 0, 0.4, 0.2)


def _amounts(cuts: list[CutAt], setting: Setting = SETTING) -> dict[str, str]:
    return {item.what: item.amount for item in patch_list(cuts, setting)}


def test_a_board_between_two_studs() -> None:
    found = _amounts([WALL])
    assert found["Board, 12.5 mm as found"] == "400 mm x 1200 mm (1'-3 5/8\" x 3'-11 1/8\")"
    # Two uprights of 1.2 m; two level edges of 0.4 m.
    assert found["Cleats 38 x 38 mm (2x2) beside the cut"].startswith("2 pieces, 2400 mm")
    assert found["Backing strips behind the other edges"].startswith("2 pieces, 800 mm")
    # Screws at 12 in: 1.2 m takes 5 each side, 0.4 m takes 3 of which the corners are counted.
    assert found["Board screws"] == str(2 * 5 + 2 * 1)
    # 3.2 m round the cut and a tenth over: 3.52 m.
    assert found["Joint tape, 10 % over"].startswith("3520 mm")


def test_a_strip_over_bays_is_screwed_to_the_studs_it_crosses() -> None:
    crossed = Setting("m", True, False, 3, 0.36, 0.0)
    plain, strip = (_amounts([WALL], one)["Board screws"] for one in (SETTING, crossed))
    assert int(strip) == int(plain) + 3 * 5


def test_a_floor_between_joists_gets_cleats_and_blocking() -> None:
    found = _amounts([FLOOR])
    assert found["Floor board, 22 mm as found"].startswith("600 mm x 360 mm")
    assert found["Cleats 38 x 63 mm (2x3) on the joists"].startswith("2 pieces, 1200 mm")
    blocking = next(amount for what, amount in found.items() if what.startswith("Blocking"))
    assert blocking.startswith("2 pieces of 400 mm")
    # At 6 in: 0.6 m takes 5 each side; 0.36 m takes 4, less both corners.
    assert found["Floor screws"] == str(2 * 5 + 2 * 2)


def test_a_panel_stays_and_nothing_is_patched() -> None:
    panel = Setting("m", False, False, 0, 0.4, 0.0)
    assert set(_amounts([WALL], panel)) == {
        "Access panel with its frame",
        "Trimmers behind the frame",
    }


def test_bricks_are_counted_by_their_face() -> None:
    masonry = Setting("m", True, True, 0, 0.0, 0.0)
    cut = CutAt("wall", "k", "k/n1", ((0.0, 0.0), (0.45, 0.0)), 0.1, 0.325, 0.45 * 0.225, 0.0125)
    # Two stretchers of 225 mm with their joint, three courses of 75 mm.
    (bricks, _) = patch_list([cut], masonry)
    assert bricks.amount == "about 6"


@pytest.mark.parametrize("part", ["floor", "ceiling"])
def test_whole_boards_are_counted_in_sheets(part: str) -> None:
    ring = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    cut = CutAt(part, "k", "", ring, 0.0, 0.0, 12.0, 0.0125, sawn=False)  # type: ignore[arg-type]
    (item,) = patch_list([cut], SETTING)
    # 12 m2 and a twentieth over are 12.6 m2; a sheet of 1200 x 2400 mm is 2.88 m2.
    assert item.amount == "12.6 m2 (136 sq ft), 5 sheets"
