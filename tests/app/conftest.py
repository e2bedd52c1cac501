"""The built app on a server of this machine, and the browser; each once."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

import pytest
from hand import ROOT, browser, office_machine, served
from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def url() -> Iterator[str]:
    subprocess.run([sys.executable, str(ROOT / "scripts" / "build_web.py")], check=True)
    with served() as address:
        yield address


@pytest.fixture(scope="session")
def made() -> Iterator[Browser]:
    with browser() as one:
        yield one


@pytest.fixture(scope="session")
def office(url: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Run the program's own server once: what it calculated of a house it has of every copy of it.

    For tests that open a house by `hand.cottage`, each under an id of its own.
    """
    with office_machine(tmp_path_factory.mktemp("record")) as address:
        yield address
