"""Lines of a quote by hand: one printed line adds up, and a small rate is not rounded away."""

from __future__ import annotations

from decimal import Decimal

from wainscot.estimate import Line, When
from wainscot.papers.kinds import papers
from wainscot.papers.quote.view import _groups, _lines
from wainscot.papers.said import Say
from wainscot.sources import judged


def _line(key: str, quantity: float, rate: float, cents: int, unit: str = "h") -> Line:
    at = judged(rate, f"EUR/{unit}", "by hand")
    where = f"open and clean/{key}"
    when = When("always")
    return Line("open and clean", where, key, quantity, unit, at, cents, "by hand", when, True)


def test_lines_told_as_one_add_up_to_the_cent() -> None:
    say = Say("en", words=papers()["quote"].words("en"))
    # 0.33 h at 54 is 17.82; three of them 53.46.  37.72 m at 0.162 is 6.11064.
    given = [_line(f"clean U{n}", 0.33, 54.0, 1782) for n in range(3)]
    given.append(_line("tape kitchen", 37.72, 0.162, 611, "m"))
    (stage,) = _lines(given, "EUR", say)
    told = [(row.words.text, row.quantity, row.rate, row.amount) for row in stage.rows]
    assert told == [("clean 3 places", "0.99", "54.00", "53.46"),
                    ("tape kitchen", "37.72", "0.162", "6.11")]  # fmt: skip
    assert sum(Decimal(row.amount) for row in stage.rows) == Decimal("59.57")
    assert stage.sum == "59.57 EUR"


def test_whatever_is_paid_for_a_room_s_sheets_stands_under_sheets() -> None:
    say = Say("en", words=papers()["quote"].words("en"))
    given = [_line(f"{part} kitchen", 1.0, 10.0, 1000) for part in ("sheet", "post", "zip_door")]
    assert [(one.words, one.amount) for one in _groups(given, "EUR", say)] == [
        ("sheets, doors, exhaust", "30.00 EUR")
    ]
