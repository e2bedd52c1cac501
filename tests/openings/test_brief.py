"""The openings as the answer tells them: the table, holds, and which check to do first."""

from __future__ import annotations

import io

import msgspec
from row import draws, graph, opening, singles

from wainscot import chance
from wainscot.access import HoldPoint
from wainscot.book import DEFAULT, read_book
from wainscot.checks import Check
from wainscot.cli.frame import Frame
from wainscot.cli.openings_text import brief
from wainscot.openings import Choice, Known, Signed, choose


def told(choice: Choice, checks: tuple[Check, ...] = (), *, everything: bool = False) -> str:
    stream = io.StringIO()
    out = Frame(stream, colour=False, blocks=True)
    brief(choice, checks, {"room": "scullery"}, out, everything=everything)
    text = stream.getvalue()
    assert max(map(len, text.splitlines())) <= 80
    return text


def check(*settles: str) -> Check:
    return Check(
        access="hole/a", words="", doing="look", worth=2.0, error=0.1, cost=1.0, net=1.0,
        minutes=30.0, shows=0.5, moved=None, settles=settles, first=(), holds=(), nights=0,
        sure=True, pays=True,
    )  # fmt: skip


def test_the_table_tells_each_set_s_cost_and_what_it_leaves_within_reach() -> None:
    choice = choose(draws(), graph(), singles(hours=3.0), DEFAULT, gap=0.0)
    rows = {line[2:15].strip(): line.split() for line in told(choice).splitlines()[1:4]}
    for name, point in (("least", choice.least), ("balanced", choice.balanced)):
        assert rows[name][-2:] == [
            chance.percent(point.avoidable), chance.percent(point.heavy_avoidable)
        ]  # fmt: skip
        assert f"{point.cost:,.0f}" in rows[name]
    assert rows["open it all"[:13]][-2:] == ["<5", "<5"]


def test_what_nothing_reaches_stands_apart_from_what_a_set_leaves() -> None:
    choice = choose(draws(), graph(), singles()[1:], DEFAULT, gap=0.0)
    text = " ".join(told(choice).split())
    assert "no opening reaches F1: 90 in 100 that any is soiled" in text
    assert choice.all_of_it.avoidable == 0.0 < choice.all_of_it.missed


def test_an_opening_that_hangs_on_a_check_says_so() -> None:
    choice = choose(draws(), graph(), singles(), DEFAULT, gap=0.0)
    text = told(choice, (check("F9"), check("F4", "F5"), check("F4")), everything=True)
    assert text.count("checks 2 and 3 first") == 1
    assert "check 1 " not in text


def test_hold_points_come_before_the_lines_with_the_numbers_of_those_they_hold() -> None:
    stop = HoldPoint(
        key="confined", hazard="confined space", standing="stop", words="", first="sign",
        who="somebody", evidence="", source="common practice, no source",
    )  # fmt: skip
    out = msgspec.structs.replace(stop, key="lead", hazard="lead paint", standing="find out")
    ways = (
        msgspec.structs.replace(opening("hatch/1", 1), holds=(stop, out)),
        msgspec.structs.replace(opening("board/2", 2), holds=(out,)),
    )
    text = " ".join(told(choose(draws(), graph(), ways, DEFAULT, gap=0.0)).split())
    assert (
        "Before any cut find out lead paint (1, 2). Stop until signed for: confined space (1)."
        in text
    )
    assert text.index("Stop until") < text.index("1 Open by hatch")


def test_rooms_out_of_use_signatures_and_money_are_told() -> None:
    ways = tuple(
        msgspec.structs.replace(
            one, charges=(msgspec.structs.replace(one.charges[0], kind="room", of="room"),)
        )
        for one in singles(room=2.0)
    )
    book = read_book('currency = "GBP"\nhour = 60')
    known = Known(signed=Signed(authorised={"bay/1": "the owner, 2 May"}), seen={6: "clean"})
    text = " ".join(told(choose(draws(), graph(), ways, book, known=known, gap=0.0)).split())
    assert "60 GBP; 90 in 100 that it finds soil; scullery out of use" in text
    assert "authorised by the owner, 2 May" in text
    assert "Opened and clean: F6." in text
    assert "Change order, beyond what is authorised: " in text


def test_nothing_worth_opening_is_said() -> None:
    text = told(choose(draws((0.0,) * 6), graph(), singles(), DEFAULT, gap=0.0))
    assert "Nothing is worth opening on what is known." in text
