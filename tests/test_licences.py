"""Every package that comes along is on the page of licences, with one that allows it to."""

from __future__ import annotations

import re

import pytest
from handbook import licences

PAGE = licences.PAGE.read_text("utf-8")
EXTRAS = ("server", "proof", "sqlite", "postgres", "hosts", "dev")


def _listed(title: str) -> set[str]:
    part = PAGE.split(f"## {title}\n", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^\| ([\w.-]+) \|", part, re.M)) - {"package"}


def test_every_package_that_is_needed_is_on_the_page() -> None:
    runs, works = _listed("What runs"), _listed("What only building and testing needs")
    missing = set(licences.needed(EXTRAS)) - runs - works
    assert missing == set(), "new packages: look at them, then run `python -m handbook.licences`"
    assert set(licences.needed(EXTRAS[:2])) <= runs
    assert set(licences.bundled()) == _listed("What is in the app")


@pytest.mark.parametrize("name", sorted(licences.needed(EXTRAS[:2])))
def test_no_licence_of_what_runs_asks_for_our_own_source(name: str) -> None:
    said = licences.needed(EXTRAS[:2])[name]
    assert said not in ("", "not said")
    # The Mozilla licence asks for changes of its own files only, and none is changed.
    assert not re.search(r"\b[AL]?GPL|General Public", said)


def test_what_is_lent_by_the_lesser_licence_is_a_library_of_its_own_and_left_as_it_is() -> None:
    # LGPL-3.0, section 4: a work may use the library under its own terms where it can be replaced.
    of_hosts = licences.needed(("postgres", "hosts"))
    lesser = {name for name, said in of_hosts.items() if re.search(r"\b[AL]?GPL|General Pub", said)}
    assert lesser == {"psycopg", "psycopg-binary", "psycopg-pool"}


def test_the_walk_over_requirements_goes_through_to_the_end() -> None:
    found = licences.needed(())
    assert {"numpy", "sqlalchemy", "typing-extensions"} <= set(found)  # the last by the second
    assert "litestar" not in found
    assert "litestar" in licences.needed(("server",))
