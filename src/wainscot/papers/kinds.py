"""Every paper there is: one folder is one paper, found by walking.

    papers()["quote"].view(known, say)

A folder that holds ``page.typ`` and ``en.toml`` is a paper: ``view.py`` makes its frozen view of
what the steps said, ``page.typ`` sets it, the words stand in one file a language.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import import_module, resources
from importlib.resources.abc import Traversable
from typing import Any

from wainscot.job import Job
from wainscot.languages import names_in
from wainscot.papers.answers import Answers
from wainscot.papers.said import Say, quoted_in

_HERE = "wainscot.papers"


class Paper:
    """One kind of paper.

    Parameters
    ----------
    folder : str
        Its folder's name.
    package : str
        In which package the folder lies; those of the firm lie in one of their own.
    """

    def __init__(self, folder: str, package: str = _HERE) -> None:
        self.folder = folder
        self._package = package
        self.name = folder.replace("_", "-")

    def words(self, language: str) -> dict[str, Any]:
        """Return the words of the paper and those that all papers share, by their keys."""
        own = tomllib.loads((self._files / f"{language}.toml").read_text("utf-8"))
        return shared_words(language) | own

    def say(self, job: Job, language: str) -> Say:
        """Return who says this paper's words for a job."""
        names, quoted = names_in(job.entities), quoted_in(job.entities)
        return Say(language, names, self.words(language), quoted)

    def view(self, known: Answers, say: Say) -> Any:
        """Return the paper's view; None where it has nothing to say (its word ``nothing``)."""
        return import_module(f"{self._package}.{self.folder}.view").view(known, say)

    def example(self) -> Answers:
        """Return a small house of our own making that the paper has something to say of."""
        made: Answers = import_module(f"{self._package}.{self.folder}.example").example()
        return made

    def page(self) -> str:
        """Return the page's source."""
        return (self._files / "page.typ").read_text("utf-8")

    @property
    def _files(self) -> Traversable:
        return resources.files(f"{self._package}.{self.folder}")


@cache
def papers() -> dict[str, Paper]:
    """Return every paper by its name, in the order of the names."""
    folders = (
        one.name
        for one in resources.files(_HERE).iterdir()
        if one.is_dir() and (one / "page.typ").is_file() and (one / "en.toml").is_file()
    )
    found = [Paper(folder) for folder in sorted(folders)]
    return {one.name: one for one in found}


@cache
def _shared(language: str) -> str:
    return (resources.files(_HERE) / "words" / f"{language}.toml").read_text("utf-8")


def shared_words(language: str) -> dict[str, Any]:
    """Return the words that all papers share, by their keys."""
    return tomllib.loads(_shared(language))
