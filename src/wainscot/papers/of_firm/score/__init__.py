"""The firm's own score on paper.

made = score_sheet(score, date="2026-05-12", language="es")
as_pdf(made)
"""

from __future__ import annotations

from wainscot.papers.of_firm.score.making import score_sheet
from wainscot.papers.of_firm.score.view import RowSaid, View, view

__all__ = ["RowSaid", "View", "score_sheet", "view"]
