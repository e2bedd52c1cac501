"""What must hold for any signs, checked by counting every state of a tiny house."""

from itertools import pairwise

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from small import evidence_of, exact, finds, graph, look, tiny, usual
from wainscot.signs import DEFAULT, KINDS, weigh, without

HOUSE = tiny()
FEW = settings(max_examples=40, deadline=None)

ROWS = sorted(name for name, kind in KINDS.items() if kind.form == "row" and kind.shown)
TILES = {
    name: tuple(a for a in KINDS[name].amounts if a not in KINDS[name].nothing) for name in ROWS
}
ORDERED = [name for name in ROWS if KINDS[name].ordered]
# Traces that a look may find; devices are asked by their own method.
PLAIN = [name for name in ORDERED if not KINDS[name].needs_amount]
METHODS = sorted(
    name for name, method in DEFAULT.methods.items() if any(kind in ROWS for kind in method.shows)
)
shares = st.sampled_from((0.1, 0.4, 0.8, 1.0))
voids = st.integers(0, 3)
grades = st.sampled_from(("told", "seen", "photographed"))


@st.composite
def some_find(draw):
    kind = draw(st.sampled_from(ROWS))
    amount = draw(st.sampled_from(TILES[kind]))
    return finds(kind, amount, freshness=draw(st.sampled_from(("fresh", "old", "unsure"))))


@st.composite
def inspection(draw, key="i"):
    where = draw(voids)
    return look(
        key,
        (where,),
        *draw(st.lists(some_find(), max_size=2)),
        method=draw(st.sampled_from(METHODS)),
        share_seen=draw(shares),
        grade=draw(grades),
        finished=draw(st.booleans()),
        nights=draw(st.integers(1, 6)),
        at=draw(st.sampled_from(("", "2026-03-01", "2026-05-01T10:00:00+01:00"))),
    )


@st.composite
def log(draw, most=3):
    count = draw(st.integers(0, most))
    return [draw(inspection(f"i{n}")) for n in range(count)]


def posterior(placed):
    return exact(HOUSE, weigh(placed, HOUSE, "norway rat"))


def to_the_last_bit(evidence):
    """Everything in it as plain data; a printed array hides its middle and its last digits."""
    return msgspec.to_builtins(evidence, enc_hook=lambda array: (array.dtype.str, array.tolist()))


def speaks_of(method):
    """What a look in vain may not raise.

    Devices, and a camera for warmth, speak of now only: if nothing goes by now, an old trace is
    the more credible, so that the chance of old soil may rise, and rightly.
    """
    return ("soiled", "heavy", "nest") if DEFAULT.methods[method].looks else ("now",)


@FEW
@given(log(), voids, st.sampled_from(METHODS), shares, grades)
def test_seeing_nothing_never_raises_its_own_void(before, where, method, share, grade):
    nothing = look("z", (where,), method=method, share_seen=share, grade=grade)
    was, now = posterior(before), posterior([*before, nothing])
    for field in speaks_of(method):
        assert now[field][where] <= was[field][where] + 1e-12


@FEW
@given(log(), voids, st.sampled_from(PLAIN), shares, grades)
def test_more_of_a_sign_never_lowers_its_void(before, where, kind, share, grade):
    chances = [
        posterior(
            [*before, look("z", (where,), finds(kind, amount), share_seen=share, grade=grade)]
        )["soiled"][where]
        for amount in TILES[kind]
    ]
    assert all(b >= a - 1e-12 for a, b in pairwise(chances))


@FEW
@given(log(), voids, some_find(), shares)
def test_finding_something_never_says_less_than_finding_nothing(before, where, find, share):
    found = posterior([*before, look("z", (where,), find, share_seen=share)])
    nothing = posterior([*before, look("z", (where,), share_seen=share)])
    assert found["ever"][where] >= nothing["ever"][where] - 1e-12


@FEW
@given(log(), voids, st.lists(some_find(), min_size=1, max_size=3), st.booleans())
def test_one_told_report_moves_no_chance_by_thirty_points(before, where, found, finished):
    told = look("z", (where,), *found, grade="told", finished=finished)
    was, now = posterior(before), posterior([*before, told])
    for field in ("soiled", "ever", "now", "nest"):
        assert np.abs(now[field] - was[field]).max() < 0.30


@FEW
@given(log(4), st.randoms(use_true_random=False))
def test_the_order_of_inspections_changes_nothing(placed, chance):
    shuffled = list(placed)
    chance.shuffle(shuffled)
    one, other = (weigh(each, HOUSE, "norway rat") for each in (placed, shuffled))
    assert to_the_last_bit(one) == to_the_last_bit(other)


@FEW
@given(log(), inspection("z"))
def test_leaving_an_inspection_out_undoes_it(before, more):
    # A glimpse of nothing on the last day: the day that the answer is of stays the same.
    last = look("last", (3,), finished=False, at="2026-06-01")
    evidence = weigh([*before, last, more], HOUSE, "norway rat")
    left = exact(HOUSE, without(evidence, "z"))
    never = posterior([*before, last])
    for field, values in never.items():
        assert np.allclose(left[field], values, atol=1e-9), field


def test_leaving_out_works_for_every_form_of_evidence():
    everything = usual()
    for gone in everything:
        left = exact(graph(), without(evidence_of(everything), gone.key))
        never = exact(graph(), evidence_of([each for each in everything if each is not gone]))
        for field, values in never.items():
            assert np.allclose(left[field], values, atol=1e-9), (gone.key, field)


@FEW
@given(log(), voids, some_find())
def test_a_repeat_sighting_of_one_trace_counts_once(before, where, find):
    first = look("y", (where,), find, share_seen=0.5, finished=False)
    again = look(
        "z", (where,), msgspec.structs.replace(find, same_trace_as="y"),
        share_seen=0.5, finished=False,
    )  # fmt: skip
    once, twice = posterior([*before, first]), posterior([*before, first, again])
    for field, values in once.items():
        assert np.allclose(values, twice[field], atol=1e-12)


@FEW
@given(log(2), st.permutations(range(4)))
def test_renaming_and_reordering_voids_changes_nothing_else(placed, order):
    order = np.array(order)
    back = np.argsort(order)

    def pick(values):
        if isinstance(values, np.ndarray):
            return values[order]
        return tuple(values[v] for v in order)

    names = ("keys", "labels", "kinds", "words", "owners", "storeys", "hidden", "polygon",
             "bottom", "top", "volume", "faces")  # fmt: skip
    changed = {name: pick(getattr(HOUSE, name)) for name in names}
    other = msgspec.structs.replace(
        HOUSE,
        **changed,
        edges=back[HOUSE.edges].astype(np.int32),
        source_void=back[HOUSE.source_void].astype(np.int32),
    )
    moved = [
        msgspec.structs.replace(
            each, voids=tuple(int(back[v]) for v in each.voids), nearest=int(back[each.nearest])
        )
        for each in placed
    ]
    one = posterior(placed)
    two = exact(other, weigh(moved, other, "norway rat"))
    for field in ("soiled", "ever", "now", "nest"):
        assert np.allclose(one[field], two[field][back], atol=1e-12)


def test_fresh_speaks_for_now_and_old_for_the_past():
    def now_given(freshness):
        found = look("z", (1,), finds("droppings", "many", freshness=freshness), share_seen=0.6)
        answer = posterior([found])
        return answer["now"][1] / answer["ever"][1]

    assert now_given("fresh") > now_given("unsure") + 0.1
    assert now_given("old") < now_given("unsure") - 0.1


smells = st.sampled_from(KINDS["odour"].amounts)


@FEW
@given(log(2), st.lists(smells, min_size=1, max_size=4), st.floats(0.0, 13.0), grades)
def test_a_smell_within_days_of_a_product_changes_nothing(before, words, days, grade):
    smelt = [
        look(f"s{n}", (0,), finds("odour", word), method="nose", grade=grade, product_days=days)
        for n, word in enumerate(words)
    ]
    was, now = weigh(before, HOUSE, "norway rat"), weigh([*before, *smelt], HOUSE, "norway rat")
    assert len(now.linear_log_likelihood) == 0
    assert np.array_equal(was.detail, now.detail)
    assert np.array_equal(was.source_factor, now.source_factor)


@FEW
@given(st.lists(st.tuples(smells, grades), min_size=1, max_size=6), st.floats(0.1, 300.0))
def test_smells_of_one_room_are_capped_and_in_any_order_the_same(words, ppm):
    smelt = [
        look(f"s{n}", (0,), finds("odour", word), method="nose", grade=grade)
        for n, (word, grade) in enumerate(words)
    ]
    smelt.append(look("m", (0,), finds("odour", ppm=ppm), method="meter"))
    one, other = (weigh(each, HOUSE, "norway rat") for each in (smelt, smelt[::-1]))
    curve = one.linear_log_likelihood
    assert np.array_equal(curve, other.linear_log_likelihood)
    assert np.abs(curve).max() <= 3.0
    assert curve[0, 0] == 0.0


@FEW
@given(log(2), smells)
def test_a_told_smell_moves_no_chance_by_thirty_points(before, word):
    told = look("s", (0,), finds("odour", word), method="nose", grade="told")
    curve = weigh([*before, told], HOUSE, "norway rat").linear_log_likelihood
    # A ratio R moves a chance by (sqrt R - 1) / (sqrt R + 1) at most.
    ratio = np.exp(np.ptp(curve))
    assert (np.sqrt(ratio) - 1.0) / (np.sqrt(ratio) + 1.0) < 0.30


@FEW
@given(log(3), voids, st.sampled_from(METHODS), shares, st.integers(2, 4))
def test_looking_in_vain_again_and_again_never_raises_its_own_void(before, where, method, share, n):
    again = [
        look(f"z{k}", (where,), method=method, share_seen=share, nights=k + 1) for k in range(n)
    ]
    was, now = posterior([*before, *again[:-1]]), posterior([*before, *again])
    for field in speaks_of(method):
        assert now[field][where] <= was[field][where] + 1e-12


def test_opened_and_seen_settles_what_lies_there():
    for amount, field, low, high in (
        ("clean", "soiled", 0.0, 0.05),
        ("light", "soiled", 0.97, 1.0),
        ("heavy", "soiled", 0.97, 1.0),
        ("heavy", "heavy", 0.75, 1.0),
        ("nest", "nest", 0.7, 1.0),
    ):
        opened = look("z", (1,), finds("opened and seen", amount), method="opened")
        assert low <= posterior([opened])[field][1] <= high, amount
