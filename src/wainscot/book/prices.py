"""What is bought, other trades, hours beside the openings, and what belongs to the business.

Defaults of what is bought are hours of work that it is worth; what a firm types is its own price.

Limits: every default is a judgement.
"""

from __future__ import annotations

import msgspec

from wainscot.sources import Cited, judged


class Material(msgspec.Struct, frozen=True):
    """What is bought, in hours of work that it is worth; what a firm types is its own price."""

    sheet: Cited = judged(0.01, "h/m2", "plastic sheet for walls and ceilings")
    floor_cover: Cited = judged(0.02, "h/m2", "board or paper on the floor, one layer")
    tape: Cited = judged(0.003, "h/m", "along every edge")
    post: Cited = judged(0.05, "h/each", "a post that holds a sheet, used many times")
    zip_door: Cited = judged(0.2, "h/each", "a door in a sheet")
    exhaust_day: Cited = judged(0.8, "h/day", "a filtered exhaust unit with its filters")
    board: Cited = judged(0.1, "h/m2", "board, screws, tape, compound")
    tile: Cited = judged(0.4, "h/m2", "tile, backing, adhesive, grout")
    floor: Cited = judged(0.3, "h/m2", "boards or panel, blocking, adhesive")
    solution: Cited = judged(0.05, "h/L", "cleaning solution as it is mixed")
    bag: Cited = judged(0.03, "h/each", "two bags, one in the other")
    protection: Cited = judged(0.3, "h/each", "overalls, gloves, filters of one person for a day")
    waste: Cited = judged(0.004, "h/kg", "to the tip, its fee included")
    seal: Cited = judged(0.15, "h/each", "mesh, sheet or mortar for one place")
    trap: Cited = judged(0.05, "h/each", "a trap with its box")


class Trade(msgspec.Struct, frozen=True):
    """What an hour of another trade costs, in hours of the crew; what a firm types is its price."""

    finisher: Cited = judged(1.0, "h/h", "carpenter or plasterer who makes good")
    mason: Cited = judged(1.2, "h/h", "bricks out and back")


class Labour(msgspec.Struct, frozen=True):
    """Hours that are not those of opening and making good."""

    hang: Cited = judged(0.03, "h/m2", "hang and tape a sheet, take it down folded inwards")
    clean: Cited = judged(0.15, "h/m2", "wet, wait, pick up, wipe, wet again, of a void's faces")
    nest: Cited = judged(1.0, "h/each", "soak, bag and carry out a nest")
    bag: Cited = judged(0.1, "h/each", "seal, bag again, carry down")
    water_off: Cited = judged(0.5, "h/each", "shut off, drain, fill, look for drips")
    trap: Cited = judged(0.1, "h/each", "set or look at one trap and write it down")


class Business(msgspec.Struct, frozen=True):
    """What belongs to no piece of work."""

    travel: Cited = judged(1.0, "h/visit", "two people there and back, half an hour each way each")
    minimum: Cited = judged(4.0, "h/job", "a job that costs less is charged so")
    tax: Cited = judged(0.0, "%", "none until it is typed in")
    spread: Cited = judged(
        0.2, "1", "hours of a stage come out so far above or below, as a standard deviation"
    )
    crew: Cited = judged(2.0, "people", "who work at once")
    day: Cited = judged(7.0, "h", "hours on site that a person has in a day")
    rounds_quiet: Cited = judged(2.0, "visits", "rounds of the traps where nothing is caught")
    rounds_in_use: Cited = judged(4.0, "visits", "further rounds where animals are still in")
