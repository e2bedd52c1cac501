"""A phone's figures against the office's: the app's own modules, run by node, in simulated houses.

The fifty houses of the design are ``python -m study phone``; three of them are run here.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from study.phone import trial
from study.phone_app import Phone, phone


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Phone]:
    folder: Path = tmp_path_factory.mktemp("phone")
    with phone(folder) as made:
        yield made


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_phone_in_a_simulated_house_is_replayed_bit_for_bit_and_agrees(
    app: Phone, seed: int
) -> None:
    found = trial(seed, app)
    assert found.replayed
    assert found.difference <= 1e-9
    # What claims to hold must agree with new draws; what does not is told as rough.
    assert not found.holds or found.worst <= 4.5
