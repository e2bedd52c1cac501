"""The built app on a server of this machine, and the browser; each once."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

import pytest
from hand import ROOT, browser, served
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
