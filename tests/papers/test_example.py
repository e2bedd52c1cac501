"""The opening sheet, which has a page of its own, has an example that makes its page.

Every other paper is held to tests/test_every_paper.py.
"""

from __future__ import annotations

import importlib
import pkgutil

from wainscot import papers
from wainscot.papers.kinds import papers as kinds
from wainscot.papers.opening_sheet import as_pdf
from wainscot.papers.opening_sheet.example import example


def test_the_example_of_the_opening_sheet_becomes_a_pdf() -> None:
    assert as_pdf(example()).startswith(b"%PDF")


def test_every_folder_but_the_opening_sheet_is_found_as_a_paper() -> None:
    folders = {one.name for one in pkgutil.iter_modules(papers.__path__) if one.ispkg}
    found = {kind.folder for kind in kinds().values()}
    # Shared by the others, and papers of the firm in place of a job.
    assert folders - found - {"fonts"} == {"opening_sheet", "photo_list", "of_firm"}
    for folder in found:
        assert importlib.import_module(f"wainscot.papers.{folder}.example").example() is not None
