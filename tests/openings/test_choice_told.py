"""What a choice tells beside its sets: every sum by hand, every line as it is read."""

from __future__ import annotations

import msgspec
import pytest
from row import BAYS, draws, graph, opening, singles

from wainscot.access import Access, Charge, HoldPoint, OwnCutTold, Reach, Site
from wainscot.book import DEFAULT, Book, read_book
from wainscot.checks import Pooled
from wainscot.errors import InputError
from wainscot.openings import Choice, Known, Point, Signed, Wanted, choose, choosing, lines
from wainscot.openings.words import balanced, compared, doing, grouped, left, line, sentence

CHANCES = (0.9, 0.6, 0.3, 0.1, 0.05, 0.0)


CUT = OwnCutTold("own_1", "refused", False, "through a stud", (), (), (), (), ())


def chosen(
    ways: tuple[Access, ...] | None = None,
    known: Known | None = None,
    wanted: Wanted | None = None,
    book: Book = DEFAULT,
    pooled: Pooled | None = None,
) -> Choice:
    return choose(
        pooled or draws(), graph(), singles() if ways is None else ways, book, known=known,
        wanted=wanted, gap=0.0,
    )  # fmt: skip


# Sums over the draws.


def test_what_is_expected_and_what_it_was_counted_from() -> None:
    choice = chosen(
        known=Known(
            seen={2: "clean", 1: "light", 6: "nest", 4: "heavy", 5: "clean"}, own_cuts=(CUT,)
        ),
        book=read_book('currency = "EUR"\nhour = 60'), pooled=draws(CHANCES, 500),
    )  # fmt: skip
    # All lie open but bay 3: three draws in ten are soiled there.
    assert choice.soiled == pytest.approx(0.3)
    assert choice.known_clean == ("F2", "F5")
    assert choice.open_already == ("F1", "F4", "F6")
    assert (choice.draws, choice.candidates, choice.currency) == (500, BAYS, "EUR")
    assert choice.own_cuts == (CUT,)
    assert choice.kept == ()
    assert choice.balanced.openings == ("bay/3",)
    assert (choice.balanced.cost, choice.balanced.loss_left) == (60.0, 0.0)


def test_rates_that_the_firm_typed_are_no_longer_called_judged() -> None:
    always = ("reach of hand and wand", "hours of opening and making good but those with a source")
    ours = "our rates: hour, callback light, callback heavy, callback nest, callback counts"
    assert chosen().judged == (*always, ours)
    some = chosen(book=read_book("hour = 60\ncallback_nest = 20\ncallback_counts = 2")).judged
    assert some == (*always, "our rates: callback light, callback heavy")
    typed = "\n".join(
        f"{name} = 20" for name in ("hour", "callback_light", "callback_heavy", "callback_nest",
                                    "callback_counts"))  # fmt: skip
    assert chosen(book=read_book(typed)).judged == always


def test_voids_that_nothing_reaches_are_told_likeliest_first_up_to_the_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pooled = draws((0.1, 0.02, 0.3, 0.019, 0.5, 0.9))
    monkeypatch.setattr(choosing, "TOLD", 2)
    # Bay 6 is reached, bay 4 is unlikelier than 2 in 100; bay 2 is just as likely as that.
    choice = chosen((opening("bay/6", 6), opening("bay/5", 5)), pooled=pooled,
                    wanted=Wanted(without=("bay/5",)))  # fmt: skip
    assert choice.not_reached == ("F5", "F3")
    lost = (pooled.soil[:, [1, 2, 3, 5]] > 0).any(axis=1)
    assert choice.not_reached_chance == pytest.approx(lost.mean())
    monkeypatch.setattr(choosing, "TOLD", 12)
    assert chosen((opening("bay/6", 6),), pooled=pooled).not_reached == ("F5", "F3", "F1", "F2")
    # What lies open needs no opening.
    seen = Known(seen={5: "light"})
    assert chosen((), known=seen, pooled=pooled).not_reached == ("F6", "F3", "F1", "F2")


def test_without_any_opening_nothing_is_opened_and_all_is_left() -> None:
    choice = chosen(())
    assert {point.openings for point in (*choice.curve, *choice.compared)} == {()}
    assert choice.balanced.loss_left == pytest.approx(16 * sum(CHANCES))
    assert (choice.openings, choice.candidates) == ((), 0)


# One opening as it is told.


def test_an_opening_is_told_whole() -> None:
    hold = HoldPoint("lead/room", "lead paint", "find out", "", "", "", "", "common practice")
    charge = Charge("k", "finish", "k", "k", 0.25)
    one = msgspec.structs.replace(
        opening("board/a", hours=1.0), repair=45.0, room="hall", charges=(charge,),
        holds=(hold,), reaches=(Reach(1, 1.0), Reach(2, 0.8), Reach(3, 0.5)), given="own_1",
    )  # fmt: skip
    pooled = draws()
    known = Known(signed=Signed(authorised={"board/a": "owner, 2 May"}), kept={0: ("the tiles",)})
    wanted = Wanted(weigh_kept=True)
    choice = chosen((one,), known=known, wanted=wanted, pooled=pooled, book=read_book("hour = 40"))
    (told,) = choice.openings
    assert (told.id, told.act, told.words) == ("board/a", "board", "Open by board/a: here")
    assert (told.room, told.given, told.kept) == ("hall", "own_1", ("the tiles",))
    assert (told.voids, told.partly) == (("F1", "F2"), ("F3",))
    assert (told.status, told.signed_by) == ("authorised", "owner, 2 May")
    assert (told.charges, told.holds, told.limits) == ((charge,), (hold,), ())
    assert told.hours == 1.75
    # 105 minutes at 40 and what is kept, 16 hours; the shared charge stands by itself.
    assert told.cost == pytest.approx(1.75 * 40 + 16 * 40)
    assert choice.balanced.cost == pytest.approx(told.cost + 10)
    # Soil in what it reaches only in part counts as well.
    assert told.chance == pytest.approx((pooled.soil[:, [1, 2, 3]] > 0).any(axis=1).mean())
    # A drawn cut is in every set, unless somebody wants it left out.
    assert {point.openings for point in choice.curve} == {("board/a",)}
    without = Wanted(weigh_kept=True, without=("board/a",))
    assert {p.openings for p in chosen((one,), known=known, wanted=without).curve} == {()}


def test_every_opening_of_the_three_sets_is_told_those_that_find_most_first() -> None:
    pooled = draws((0.3, 0.9, 0.3, 0.02, 0.0, 0.0))
    choice = chosen(singles(), pooled=pooled)
    # Bay 4 pays in neither set, 0.02 x 32 < 1, but is in "open it all".
    assert choice.balanced.openings == ("bay/1", "bay/2", "bay/3")
    assert choice.all_of_it.openings == ("bay/1", "bay/2", "bay/3", "bay/4")
    assert [one.id for one in choice.openings] == ["bay/2", "bay/1", "bay/3", "bay/4"]
    assert {one.signed_by for one in choice.openings} == {""}
    assert [one.chance for one in choice.openings] == pytest.approx([0.9, 0.3, 0.3, 0.02])


def test_what_adds_up_in_a_room_holds_for_what_cuts_there_and_takes_the_place_of_the_lesser() -> (
    None
):
    lesser = HoldPoint("lead/room", "lead paint", "find out", "", "", "", "", "common practice")
    other = msgspec.structs.replace(lesser, key="gas/room", hazard="gas")
    more = msgspec.structs.replace(lesser, key="lead area/room", instead_of="lead/room")
    one = msgspec.structs.replace(opening("a", 1), holds=(lesser, other))
    for disturbance, held in (
        ("cut", (other, more)), ("hole", (other, more)), ("taken off", (lesser, other)),
        ("none", (lesser, other)),
    ):  # fmt: skip
        there = msgspec.structs.replace(one, disturbance=disturbance)
        assert choosing._held(there, (more,)) == held
    assert choosing._held(one, ()) == (lesser, other)


def test_what_adds_up_is_counted_over_the_balanced_set_and_beyond_it_over_all() -> None:
    # 40 CFR 745.83: 0.557 m2 a room is minor repair; three cuts of 0.15 m2 are less, five more.
    cuts = tuple(msgspec.structs.replace(one, finish="painted board", area=0.15)
                 for one in singles())  # fmt: skip
    pooled = draws((0.9, 0.6, 0.3, 0.02, 0.02, 0.0))
    choice = chosen(cuts, Known(site=Site(1934, "US")), pooled=pooled)
    held = {one.id: [hold.key for hold in one.holds] for one in choice.openings}
    assert choice.balanced.openings == ("bay/1", "bay/2", "bay/3")
    assert held == {
        "bay/1": [], "bay/2": [], "bay/3": [],
        "bay/4": ["lead area/room"], "bay/5": ["lead area/room"],
    }  # fmt: skip


# Signatures.


def test_what_was_declined_leaves_the_voids_that_nothing_else_opens() -> None:
    pooled = draws()
    ways = (*(one for one in singles() if one.id != "bay/3"), opening("strip/1", 1, 2, 3))
    said = {"gone/0": "owner", "bay/1": "owner, tiles", "strip/1": "owner, floor"}
    choice = chosen(ways, known=Known(signed=Signed(declined=said)), pooled=pooled)
    assert choice.balanced.openings == ("bay/2", "bay/4", "bay/5")
    one, gone, strip = choice.declined  # by their ids
    assert (one.id, one.voids, one.said) == ("bay/1", ("F1",), "owner, tiles")
    assert (one.words, one.loss) == ("Open by bay/1: here", pytest.approx(16 * 0.9))
    assert gone == choosing.Left("gone/0", "no longer on the plan", "owner", (), 0.0, 0.0)
    assert (strip.id, strip.voids) == ("strip/1", ("F1", "F3"))
    assert strip.loss == pytest.approx(16 * (0.9 + 0.3))
    assert strip.chance == pytest.approx((pooled.soil[:, [1, 3]] > 0).any(axis=1).mean())


def test_a_change_order_is_what_comes_on_top_of_what_was_signed() -> None:
    signed = Signed(authorised={"bay/1": "owner", "bay/4": "owner", "gone/7": "owner"})
    known = Known(signed=signed, seen={6: "clean"})
    choice = chosen(singles(room=2.0), known=known)
    assert choice.balanced.openings == tuple(f"bay/{n}" for n in range(1, 6))
    # Bays 2, 3 and 5 at an hour each; the room is in what was signed.
    assert choice.change_order == pytest.approx(3.0)
    # Nothing begun, or nothing signed: no change order.
    assert chosen(known=Known(signed=signed)).change_order is None
    assert chosen(known=Known(seen={6: "clean"})).change_order is None


def test_a_charge_is_paid_where_what_was_signed_for_it_lies_open() -> None:
    both = Charge("room", "room", "room", "room", 2.0)
    ways = (
        msgspec.structs.replace(opening("a", 1, 2), charges=(both,)),
        msgspec.structs.replace(opening("b", 3), charges=(both,)),
    )
    word = Signed(authorised={"a": "owner"})
    begun = chosen(ways, Known(signed=word, seen={1: "clean", 2: "light"}))
    assert (begun.balanced.openings, begun.balanced.cost) == (("b",), 1.0)
    # Else the room is still to be set up: for a and b, or for b alone.
    assert chosen(ways, Known(signed=word, seen={1: "clean"})).balanced.cost == 4.0
    assert chosen(ways, Known(seen={1: "clean", 2: "light"})).balanced.cost == 3.0


# What is asked for.


def test_what_is_asked_for_goes_by_label_or_by_id_and_a_slip_is_told_the_nearest() -> None:
    for name in ("F6", "bay/6"):
        assert "bay/6" in chosen(wanted=Wanted(must=(name,))).balanced.openings
    with pytest.raises(InputError) as told:
        chosen(wanted=Wanted(must=("G6", "Q"), without=("bay-7", "bay/1")))
    said = [(one.code, one.path, one.what) for one in told.value.faults]
    assert said == [
        ("unknown-opening", "openings.not", "no opening is called 'bay-7'"),
        ("unknown-void", "openings.must", "no void is called 'G6'"),
        ("unknown-void", "openings.must", "no void is called 'Q'"),
    ]
    assert "write 'bay/" in told.value.faults[0].cure
    assert told.value.faults[2].cure == "use one of: F1, F2, F3, F4, F5, F6, R"


def test_signs_in_what_lies_open_and_passages_to_it_count_for_nothing_more() -> None:
    known = Known(found_in=frozenset({2, 4}), seen={2: "light", 5: "clean"})
    nearest = next(p for p in chosen(known=known).compared if p.name == "nearest signs")
    # Next to bay 4 are 3 and 5, and 5 lies open, as bay 2 does.
    assert nearest.openings == ("bay/3", "bay/4")
    names = [point.name for point in chosen(known=known).compared]
    assert names == ["open everything", "nearest signs", "greedy"]
    assert chosen(known=known).compared[2].weight == 2.0


# In words.


def point(**other: float | int | str | tuple[str, ...] | None) -> Point:
    one = Point(
        name="balanced", weight=2.0, openings=("a", "b"), cost=1234.5, loss_left=56.7, missed=0.42,
        error=0.0061, avoidable=0.2, number=1.26, heavy=0.05, heavy_avoidable=0.01, voids=3,
        gap=0.0034,
    )  # fmt: skip
    return msgspec.structs.replace(one, **other)


def test_a_set_in_a_sentence() -> None:
    assert sentence(point(), "GBP") == (
        "Balanced: 2 openings, 3 voids laid open, 1,234 GBP (at most 0.3 % from the best there "
        "is). Leaves a soiled void behind: about 4 in 10, +/- 1 in 100 (one that an opening "
        "reaches: about 2 in 10); heavy soil or a nest: less than 1 in 10. Expected: 1.3 soiled "
        "voids missed, 57 GBP of callbacks."
    )
    small = sentence(point(openings=("a",), gap=None, error=0.0049), "")
    assert small.startswith("Balanced: 1 opening, 3 voids laid open, 1234.5 hours. Leaves")
    assert "+/-" not in small
    assert "+/- 1 in 100" in sentence(point(error=0.0051), "")
    assert "0 openings" in sentence(point(openings=()), "")


def test_simpler_rules_are_told_in_the_same_money() -> None:
    choice = chosen(book=read_book('currency = "EUR"\nhour = 50'))
    assert compared(choice) == [
        "Compared with:", *(sentence(one, "EUR") for one in choice.compared)]  # fmt: skip
    assert "50 EUR" in sentence(point(cost=50.0), "EUR")
    assert all(" EUR of callbacks." in one for one in compared(choice)[1:])


def test_alike_openings_of_one_place_stand_in_one_line() -> None:
    a, b, c, d, e, f = singles()
    replace = msgspec.structs.replace
    enter = Charge("floor", "enter", "floor/1", "floor", 0.25)
    ways = (a, b, replace(c, room="hall"), replace(d, act="strip"), replace(e, charges=(enter,)), f)
    choice = chosen(ways, known=Known(signed=Signed(authorised={"bay/2": "owner"})))
    groups = [[one.id for one in some] for some in grouped(choice)]
    assert groups == [["bay/1"], ["bay/2"], ["bay/3"], ["bay/4"], ["bay/5"]]
    alike = [[one.id for one in some] for some in grouped(chosen())]
    assert alike == [[f"bay/{n}" for n in range(1, 6)]]


def test_what_is_done_at_several_is_told_once_with_their_voids() -> None:
    ways = (
        opening("bay/1", 1), msgspec.structs.replace(opening("bay/2", 2), reaches=(
            Reach(2, 1.0), Reach(1, 0.5), Reach(4, 0.5))),
    )  # fmt: skip
    one, other = chosen(ways).openings  # the second shows void 1 too, so it comes first
    assert doing([one]) == one.words
    assert doing([one, other]) == "Open by bay/2, 2 times: F1, F2 and F4"
    wordy = msgspec.structs.replace(one, words="Take out a board, with care: by the door")
    assert doing([wordy, other]) == "Take out a board, 2 times: F1, F2 and F4"
    # Twelve stretches are named, what goes beyond is counted.
    apart = tuple(f"F{n}" for n in range(1, 28, 2))
    many = msgspec.structs.replace(other, voids=apart, partly=())
    named = ", ".join(apart[:12])
    assert doing([many, many]) == f"Open by bay/1, 2 times: {named} and 2 more"


def test_the_balanced_set_line_by_line() -> None:
    each = tuple(msgspec.structs.replace(one, act=f"act {n}") for n, one in enumerate(singles()))
    told = balanced(chosen(each), 2)
    assert told == [
        "The balanced set. None of it is authorised yet: nobody cuts.",
        "1. Open by bay/1: here: 90 in 100 that it finds soil; 1.0 hours beside what is shared "
        "[bay/1]",
        "2. Open by bay/2: here: 60 in 100 that it finds soil; 1.0 hours beside what is shared "
        "[bay/2]",
        "and 3 more lines (--all)",
    ]
    assert balanced(chosen(each), 4)[-1] == "and 1 more lines (--all)"
    assert len(balanced(chosen(each), 5)) == 6
    assert balanced(chosen(())) == ["Nothing is worth opening on what is known."]


def test_a_line_with_all_that_hangs_on_it() -> None:
    first = chosen().openings[0]
    care = HoldPoint("dust/room", "dust", "care", "", "", "", "", "common practice")
    stop = msgspec.structs.replace(care, key="gas/room", hazard="gas pipe", standing="stop")
    full = msgspec.structs.replace(
        first, status="change order", holds=(care, stop, stop), kept=("the dado",)
    )
    begin = "Open by bay/1: here: 90 in 100 that it finds soil; 1.0 hours beside what is shared; "
    assert line([full], "") == (
        f"{begin}change order, not authorised yet: nobody cuts; first: gas pipe; "
        "touches what is kept: the dado [bay/1]"
    )
    signed = msgspec.structs.replace(first, status="authorised", signed_by="")
    assert line([signed], "") == f"{begin}authorised [bay/1]"


def test_what_stays_is_told_in_its_order_and_nothing_else() -> None:
    fits = msgspec.structs.replace(CUT, id="own_2", fits=True)
    judged = "Judged, nobody published it: a; b. From 9 draws, 4 openings."
    plain = msgspec.structs.replace(
        chosen(), not_reached=(), judged=("a", "b"), draws=9, candidates=4
    )
    assert left(plain) == [judged]
    full = msgspec.structs.replace(
        plain, change_order=2.5, own_cuts=(CUT, fits), open_already=("F1",), known_clean=("F2",),
        not_reached=("F3", "F4", "F5"), not_reached_chance=0.3, kept=("the dado", "the tiles"),
    )  # fmt: skip
    assert left(full) == [
        "Beyond what is authorised this costs 2.5 hours: a change order.",
        "Drawn cut own_1, not among these: through a stud",
        "Open already, to be cleaned: F1.",
        "Opened and seen clean: F2.",
        "No opening offered or allowed reaches enough of F3 to F5; 30 in 100 that any of them is "
        "soiled.",
        "Left alone because it is kept: the dado, the tiles.",
        judged,
    ]
    whole = lines(msgspec.structs.replace(full, soiled=2.26))
    assert whole[0] == "2.3 soiled voids are expected that do not lie open yet."
    assert [one.partition(":")[0] for one in whole[1:4]] == ["Least", "Balanced", "Open it all"]
    assert whole[4].startswith("The balanced set.")
