"""Years built that decide about asbestos, for the hazards that share them."""

from __future__ import annotations

from wainscot.sources import Cited

ASBESTOS_US = Cited(
    1980, "year", "29 CFR 1926.1101(b) and (k): built no later than 1980", "", "second-hand"
)
ASBESTOS_UK = Cited(
    2000, "year", "Control of Asbestos Regulations 2012, regs 5-7, and HSG264", "", "second-hand"
)
