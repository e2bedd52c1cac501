"""Cleaning: wet before anything moves, wait, wipe and bag, disinfect, dry, seal last.

    label = read_label(text)
    planned = clean(surfaces, label, air)
    planned.steps, planned.amounts, planned.film, planned.waste

The label that somebody typed in wins over every default here and is recorded with the plan.

Limits: amounts and wet films are estimates (+-30 % for drying); whether a surface is clean is seen
and not calculated.
"""

from wainscot.cleaning.contact import Moment, Span, spans
from wainscot.cleaning.drying import (
    Closing,
    Forecast,
    Reading,
    closings,
    equilibrium,
    forecast,
    humidity_for,
    may_close,
)  # fmt: skip
from wainscot.cleaning.film import Film, evaporation, film
from wainscot.cleaning.mixing import Mix, coverage, mix
from wainscot.cleaning.of_job import Work, work_of
from wainscot.cleaning.planning import Cleaning, Surface, clean, surfaces_of
from wainscot.cleaning.products import Label, Product, may_follow, products, read_label

__all__ = [
    "Cleaning",
    "Closing",
    "Film",
    "Forecast",
    "Label",
    "Mix",
    "Moment",
    "Product",
    "Reading",
    "Span",
    "Surface",
    "Work",
    "clean",
    "closings",
    "coverage",
    "equilibrium",
    "evaporation",
    "film",
    "forecast",
    "humidity_for",
    "may_close",
    "may_follow",
    "mix",
    "products",
    "read_label",
    "spans",
    "surfaces_of",
    "work_of",
]  # fmt: skip
