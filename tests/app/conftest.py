"""The built app on a server of this machine, once."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

import pytest
from hand import ROOT, office_machine, served


@pytest.fixture(scope="session")
def url() -> Iterator[str]:
    subprocess.run([sys.executable, str(ROOT / "scripts" / "build_web.py")], check=True)
    with served() as address:
        yield address


@pytest.fixture(scope="session")
def office(url: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Run the program's own server once: what it calculated of a house it has of every copy of it.

    For tests that open a house by `hand.cottage`, each under an id of its own.
    """
    with office_machine(tmp_path_factory.mktemp("record")) as address:
        yield address
