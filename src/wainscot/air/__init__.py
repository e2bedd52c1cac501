"""Air: what pressure drives through leaks, what the flow carries along, what moist air takes up.

    house = Network(zones, paths, fans)
    balance = solve(house)                       # pressures, mass flows
    room = exchange_of(house, balance, sources)  # volume flows between zones
    steady(room), over_time(room, hours)         # what a source makes of them

Leaks are power laws, Q = C dp^n; an orifice and an effective leakage area are ways to write one.

Limits: well mixed zones, dry air by the gas law, one temperature a zone; no reaction between
substances; a steady wind.
"""

from wainscot.air.leaks import Leak, effective_area, orifice, power_law, through_points
from wainscot.air.moist import MoistAir, humidity, moist
from wainscot.air.network import OUTDOORS, Balance, Fan, Network, Path, Zone, solve
from wainscot.air.spread import Course, Exchange, exchange_of, over_time, steady
from wainscot.air.stack import stack_pressure

__all__ = [
    "OUTDOORS",
    "Balance",
    "Course",
    "Exchange",
    "Fan",
    "Leak",
    "MoistAir",
    "Network",
    "Path",
    "Zone",
    "effective_area",
    "exchange_of",
    "humidity",
    "moist",
    "orifice",
    "over_time",
    "power_law",
    "solve",
    "stack_pressure",
    "steady",
    "through_points",
]
