"""Its presence puts this folder on the import path, so that tests share ``houses``."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser


LONG = {
    "test_app_find_places.py", "test_app_everyone.py", "test_app_jobs.py", "test_app_whole_job.py",
    "test_app_log2.py", "test_app_open.py", "test_cli_demos.py", "test_calibration.py",
    "test_kills_and_cuts.py",
}  # fmt: skip
"""Files that take the longest: they come first, so that none is left for the end alone."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.name not in LONG)


@pytest.fixture(scope="module", autouse=True)
def _remembered() -> None:
    """Let tests of one file share what was calculated, and none what another file left behind."""
    from wainscot import walk

    walk._KEPT = 32
    walk._memory.clear()


@pytest.fixture(scope="session")
def made() -> Iterator[Browser]:
    """Give the browser: one a test run, for what drives it cannot be started twice."""
    from tests.app.hand import browser

    with browser() as one:
        yield one


@pytest.fixture(scope="session")
def cluster() -> Iterator[object]:
    """Give a PostgreSQL of this test run's own; started by the first test that asks for it."""
    from cluster import Cluster, programs

    found = programs()
    if found is None:
        told = "PostgreSQL is not installed (Debian: apt-get install postgresql)"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    made = Cluster(found)
    yield made
    made.stop()
