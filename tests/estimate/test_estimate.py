"""The price of a job: against rooms worked by hand, against direct simulation, to the cent."""

from __future__ import annotations

import json
import math
from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path

import jsonschema
import msgspec
import numpy as np
import pytest
from click.testing import CliRunner

from wainscot import demos
from wainscot.book import DEFAULT, read_book
from wainscot.checks import answers_of, pool
from wainscot.cli import main
from wainscot.containment import WorkArea, contain, work_area
from wainscot.estimate import Estimate, Scope, When, estimate, lines, quantile
from wainscot.estimate.taking import cents
from wainscot.job import Job, read
from wainscot.schema import text_of
from wainscot.sealing import SealList, Terms
from wainscot.walk import Walk, walk

RATES = 'currency = "USD"\nhour = 85\n[business]\ntax = 8\n[material]\nboard = 9.5'


@cache
def job() -> Job:
    return read(demos.text("terraced_cottage"))


@cache
def scope() -> Scope:
    book = read_book(RATES)
    walked = walk(job(), draws=1024, book=book, closing=Terms(), priced=True)
    assert walked.openings is not None
    assert walked.drawn is not None
    assert walked.sealing is not None
    seen, pooled = walked.survey, pool(walked.drawn, answers_of(job()))
    found = Scope(seen.plan, seen.graph, pooled, walked.checks, walked.openings, walked.offered,
                  seals_as_built(walked), book)  # fmt: skip
    # The walk prices the same.
    assert msgspec.json.encode(walked.estimate) == msgspec.json.encode(estimate(found))
    return found


def seals_as_built(walked: Walk) -> SealList:
    """The cottage's animals are rats."""
    assert walked.sealing is not None
    return next(one for one in walked.sealing.lists
                if one.grade == "as built" and one.species == "norway rat")  # fmt: skip


@cache
def priced() -> Estimate:
    return estimate(scope())


def test_every_line_is_a_quantity_at_a_rate_and_lines_sum_to_the_cent() -> None:
    found = priced()
    assert len({one.key for one in found.lines}) == len(found.lines)
    for one in found.lines:
        exact = Fraction(str(one.quantity)) * Fraction(str(one.rate.value)) * 100
        assert one.cents == round(exact), one.key  # a fraction rounds halves to the even
        assert one.basis
        assert one.rate.source
    planned = [one for one in found.lines if not one.extra]
    assert sum(one.cents for one in planned) == found.planned_cents
    assert sum(stage.cents for stage in found.stages) == found.planned_cents


def test_half_cents_go_to_the_even() -> None:
    assert [cents(1.0, 0.125), cents(1.0, 0.135), cents(3, 0.1)] == [12, 14, 30]


def test_a_room_is_taken_off_as_by_hand() -> None:
    """A kitchen of w x l x h: walls and ceiling hung, two layers on the floor, 15 % overlap."""
    kitchen = next(one for one in scope().plan.rooms if one.id in _rooms_cut())
    area = work_area(scope().plan, [kitchen.id])
    hung = 1.15 * (area.perimeter * area.height + area.floor)
    by_key = {one.key: one for one in priced().lines}
    assert by_key[f"open and clean/sheet {kitchen.id}"].quantity == pytest.approx(hung, abs=0.005)
    floor = by_key[f"open and clean/floor_cover {kitchen.id}"]
    assert floor.quantity == pytest.approx(1.15 * 2 * area.floor, abs=0.005)


def test_a_room_of_three_by_four_is_worked_by_hand() -> None:
    """On paper: walls 2 (3 + 4) 2.4 = 33.6 m2, with the ceiling of 12 m2 45.6; floor 12 m2.

    15 % overlap; two layers on the floor; edges 2 x 14 m + 4 corners x 2.4 m = 37.6 m, taped with
    15 % over; one door.
    """
    sheets = contain(WorkArea(("Kitchen",), floor=12.0, perimeter=14.0, height=2.4)).sheets
    assert sheets.sheet == pytest.approx(52.44)
    assert sheets.floor == pytest.approx(27.6)
    assert sheets.tape == pytest.approx(43.24)
    assert (sheets.zip_doors, sheets.posts) == (1, 0)
    # A rate of 0.50 on 52.44 m2 is 26.22 to the cent.
    assert cents(52.44, 0.5) == 2622


def _rooms_cut() -> set[str]:
    return {one.key.rpartition(" ")[2] for one in priced().lines
            if one.key.startswith("open and clean/sheet ")}  # fmt: skip


def test_board_and_waste_are_those_of_the_cut() -> None:
    """2.3 lb/ft2 of board and 5 % wasted, as the estimating manual prints."""
    by_id = {one.id: one for one in scope().offered}
    boards = [one for one in priced().lines if one.key.startswith("open and clean/waste ")
              and not one.extra]  # fmt: skip
    assert boards
    for one in boards:
        access = by_id[one.key.partition("/waste ")[2]]
        per_foot = one.quantity / access.area * 0.3048**2 / 0.45359237
        assert per_foot == pytest.approx(
            {"plasterboard": 2.3, "ceiling board": 2.3, "lath and plaster": 8.0,
             "floor boards": 2.0, "vinyl": 2.0, "panelling": 2.0}.get(access.finish, 5.0), rel=0.05,
        )  # fmt: skip


def test_percentiles_are_those_of_a_direct_simulation() -> None:
    """Draw jobs one by one: which draw by its weight, then each line that this draw needs."""
    found, draws, graph = priced(), scope().draws, scope().graph
    rng = np.random.default_rng(7)
    sigma = math.sqrt(math.log1p(0.2**2))
    prices, sums = [], Counter[tuple[When, str, bool]]()
    for one in found.lines:
        sums[one.when, one.stage, one.labour] += one.cents / 100
    for k in rng.choice(len(draws.weight), size=3000, p=draws.weight / draws.weight.sum()):
        hours, other = Counter[str](), 0.0
        dirty, nest = (draws.soil[k] > 0) | (draws.nest[k] > 0), draws.nest[k] > 0
        house = {
            "always": True, "anything soiled": bool((dirty & graph.hidden).any()),
            "came in": bool((draws.source[k] > 0).any()),
            "in use now": bool(((draws.reach[k] == 2) & graph.hidden).any()),
        }  # fmt: skip
        for (when, stage, labour), amount in sums.items():
            at = {"soiled": dirty, "nest": nest}.get(when.kind)
            if not (house[when.kind] if at is None else at[when.void]):
                continue
            if labour:
                hours[stage] += amount
            else:
                other += amount
        varied = sum(h * rng.lognormal(-(sigma**2) / 2, sigma) for h in hours.values())
        prices.append(max(varied + other, 4 * 85) * 1.08)
    # Three standard errors of a quantile of 3,000 draws: density near the median from the spread.
    error = 3 * 1.25 * float(np.std(prices)) / math.sqrt(3000)
    assert abs(float(np.quantile(prices, 0.5)) - found.half) < error + 3 * found.error
    assert abs(float(np.quantile(prices, 0.8)) - found.four_in_five) < 1.5 * error + 3 * found.error


def test_a_quantile_is_the_least_value_that_the_share_does_not_exceed() -> None:
    values, weight = np.array([3.0, 1.0, 2.0]), np.array([0.2, 0.5, 0.3])
    assert [quantile(values, weight, q) for q in (0.1, 0.5, 0.51, 0.8, 0.9)] == [1, 1, 2, 2, 3]


def test_what_is_needed_less_often_costs_less_on_average() -> None:
    found = priced()
    assert found.least <= found.half <= found.four_in_five <= found.most
    soiled = [one for one in found.lines if one.when.kind == "soiled"]
    assert all(0 <= one.chance < 1.0 + 1e-9 for one in soiled)
    assert found.mean < found.most


def test_the_minimum_charge_holds_and_tax_comes_on_top() -> None:
    book = read_book('currency = "USD"\nhour = 85\n[business]\ntax = 10\nminimum = 1000000')
    found = estimate(msgspec.structs.replace(scope(), book=book))
    assert found.half == pytest.approx(1_100_000)


def test_the_same_seed_gives_the_same_bytes_and_another_one_the_same_price_nearly() -> None:
    one, same = (msgspec.json.encode(estimate(scope(), seed=3)) for _ in range(2))
    assert one == same
    other = estimate(scope(), seed=4)
    assert other.half == pytest.approx(priced().half, rel=0.1)


def test_it_is_told_with_stages_extras_drivers_and_limits() -> None:
    told = "\n".join(lines(priced()))
    for words in ("Half of such jobs cost less than", "four in five less than", "check first",
                  "open and clean", "beyond the plan", "It hangs on", "no offer"):  # fmt: skip
        assert words in told


def test_without_rates_all_is_told_in_hours() -> None:
    found = estimate(msgspec.structs.replace(scope(), book=DEFAULT))
    assert "counted in hours" in "\n".join(lines(found))


def test_the_command_prints_json_and_refuses_an_empty_job(tmp_path: Path) -> None:
    path = tmp_path / "cottage.json"
    path.write_text(demos.text("terraced_cottage"), encoding="utf-8")
    (tmp_path / "ours.toml").write_text(RATES, encoding="utf-8")
    ours = ["--rates", str(tmp_path / "ours.toml"), "--draws", "1024"]  # the walk is remembered
    told = CliRunner().invoke(main, ["estimate", str(path), "--json", *ours])
    assert told.exit_code == 0, told.output
    assert json.loads(told.stdout)["planned_cents"] > 0
    jsonschema.Draft202012Validator(json.loads(text_of("estimate"))).validate(
        json.loads(told.stdout)
    )
    empty = tmp_path / "empty.json"
    assert CliRunner().invoke(main, ["new", str(empty)]).exit_code == 0
    refused = CliRunner().invoke(main, ["estimate", str(empty)])
    assert refused.exit_code == 2
    assert "draw a room" in refused.output
