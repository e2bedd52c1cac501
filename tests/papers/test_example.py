"""Every paper has an example, and it makes its page."""

from __future__ import annotations

import importlib
import pkgutil

import pytest

from wainscot import papers

NAMES = sorted(
    one.name for one in pkgutil.iter_modules(papers.__path__) if one.ispkg and one.name != "fonts"
)


@pytest.mark.parametrize("name", NAMES)
def test_every_paper_has_an_example_that_becomes_a_pdf(name: str) -> None:
    package = importlib.import_module(f"wainscot.papers.{name}")
    view = importlib.import_module(f"wainscot.papers.{name}.example").example()
    assert package.as_pdf(view).startswith(b"%PDF")


def test_there_is_a_paper() -> None:
    assert "opening_sheet" in NAMES
