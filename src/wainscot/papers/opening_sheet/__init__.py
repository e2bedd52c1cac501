"""The opening sheet: what to open, drawn and dimensioned so that it can be cut from.

    seen = walked.survey
    view = sheet_view(job, walked.openings, seen.plan, seen.graph, walked.offered,
                      date=last_day(job), said=said_of(walked.diagnosis.voids))
    as_pdf(view)                            # bytes
    sheet_files(view)                       # every file by name, ready to be written

One overview, then one page for each opening: the cut with its datum, pilot hole and blade depth,
what runs beside it, who signs what before and who has, what closes it again.

Limits: a sheet shows what was drawn; nothing on it was measured on site by this program.
"""

from __future__ import annotations

from wainscot.papers.opening_sheet.model import OpeningPage, SheetView, VoidSaid
from wainscot.papers.opening_sheet.of_job import last_day, said_of
from wainscot.papers.opening_sheet.render import as_pdf, as_png, dxf_files, svg_files
from wainscot.papers.opening_sheet.spoken import spoken
from wainscot.papers.opening_sheet.view import Which, sheet_view

__all__ = [
    "OpeningPage",
    "SheetView",
    "VoidSaid",
    "Which",
    "as_pdf",
    "as_png",
    "dxf_files",
    "last_day",
    "said_of",
    "sheet_files",
    "sheet_view",
    "spoken",
    "svg_files",
]


def sheet_files(view: SheetView) -> dict[str, bytes]:
    """Return the sheet's files by name: ``opening-sheet.pdf``, and each drawing as SVG and DXF.

    Parameters
    ----------
    view : SheetView
        The sheet.

    Raises
    ------
    MissingPackageError
        If typst or ezdxf is not installed.
    """
    files = {"opening-sheet.pdf": as_pdf(view)}
    files |= {f"openings/{name}": text.encode() for name, text in svg_files(view).items()}
    return files | {f"openings/{name}": data for name, data in dxf_files(view).items()}
