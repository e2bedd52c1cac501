"""The built app on a server of this machine, and the browser; each once."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from hand import ROOT, browser, served


@pytest.fixture(scope="session")
def url() -> Iterator[str]:
    subprocess.run([sys.executable, str(ROOT / "scripts" / "build_web.py")], check=True)
    with served() as address:
        yield address


@pytest.fixture(scope="session")
def made() -> Iterator[Browser]:
    with browser() as one:
        yield one
