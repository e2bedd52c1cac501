"""Opening sheet: 40 openings and more on paper and as DXF, from draws at random."""

from __future__ import annotations

from tests.papers import sheets

from bench.table import Row, median_seconds
from wainscot.papers.opening_sheet import as_pdf, dxf_files, sheet_view


def rows() -> list[Row]:
    """Return the view, its PDF and its DXF files for a house of eight rooms."""
    job = sheets.house("semi")
    plan, graph, ways = sheets.parts(job)
    choice = sheets.choice_of(job)
    view = sheet_view(job, choice, plan, graph, ways, which="all")
    size = f"{len(view.pages)} openings, {len(view.drawings())} drawings"
    return [
        Row(f"the view of {size}", median_seconds(
            lambda: sheet_view(job, choice, plan, graph, ways, which="all"), 3), None),
        Row("the same as PDF", median_seconds(lambda: as_pdf(view), 3), 2.0),
        Row("the same as DXF", median_seconds(lambda: dxf_files(view), 1), None),
    ]  # fmt: skip
