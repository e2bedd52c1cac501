"""Killed, cut off, full, drowned in repeats: nothing that was acknowledged is lost.

The short version; ``python -m study kills faults phones`` runs the long one.  What must hold is
stated by the contract of the record; where a weaker setting is run beside it, that one has to fail,
or the test would see nothing.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import power
import pytest
from restores import backups
from swarm import swarm

HERE = Path(__file__).parent


def _run(name: str, *arguments: object) -> dict[str, int]:
    command = [sys.executable, str(HERE / name), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    found: dict[str, int] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("seed", [1, 2])
def test_sixty_killed_writers_lose_nothing_that_they_were_told_is_safe(
    tmp_path: Path, seed: int
) -> None:
    found = _run("kills.py", tmp_path / "record", 60, seed)
    assert found["kills"] == 60
    assert found["acknowledged"] >= 60
    bad = ("lost", "photos_unsound", "chains_not_whole", "damaged")
    assert {name: found[name] for name in bad} == dict.fromkeys(bad, 0)


@pytest.mark.parametrize("journal", [power.DELETE_EXTRA, power.WAL_FULL], ids=["delete", "wal"])
def test_a_power_cut_takes_nothing_that_was_acknowledged(journal: power.Journal) -> None:
    found = power.power_cuts(journal, 200, 1)
    assert found == {"cuts": 200, "lost": 0, "damaged": 0, "acknowledged_lost": 0}


def test_the_weaker_settings_lose_in_the_same_cuts_so_the_cuts_are_real() -> None:
    # The first documented at https://sqlite.org/pragma.html#pragma_synchronous: in WAL mode NORMAL
    # "might roll back following a power loss"; likewise FULL with a deleted journal, hence EXTRA.
    assert power.power_cuts(power.WAL_NORMAL, 40, 1)["lost"] > 10
    assert power.power_cuts(power.DELETE_FULL, 40, 1)["lost"] > 4


@pytest.mark.parametrize("journal", [power.DELETE_EXTRA, power.WAL_FULL], ids=["delete", "wal"])
def test_every_fifth_failing_act_of_the_disk_is_told_and_loses_nothing(
    journal: power.Journal,
) -> None:
    found = power.failing_acts(journal, 5, 1)
    assert found["runs"] >= 5
    # Every flush that failed stopped the process; every other failure was refused.
    assert found["refused"] > 0
    assert found["stopped"] > 0
    assert (found["lost"], found["damaged"]) == (0, 0)


def test_a_full_disk_still_reads_and_exports_and_goes_on_once_there_is_room(tmp_path: Path) -> None:
    found = _run("full.py", tmp_path / "disk", 1, 1)
    assert (found["disks"], found["refused"], found["wrong"]) == (2, 6, 0)
    assert found["acknowledged"] > 20


def test_five_phones_come_to_one_record_over_a_bad_line(tmp_path: Path) -> None:
    failed: dict[str, int] = {}
    for seed in range(1, 11):
        found = swarm(tmp_path / str(seed), 5, 200, seed)
        assert (found["events"], found["one_hash"], found["one_job"]) == (1000, 1, 1)
        for name in ("dropped", "acks_lost", "repeated", "conflicts"):
            failed[name] = failed.get(name, 0) + found[name]
    # The line was bad in each of its ways, or this would have shown nothing.
    assert min(failed.values()) > 0


def test_backups_under_load_are_restored_and_damaged_ones_found(tmp_path: Path) -> None:
    found = backups(tmp_path, 6, 12, 1)
    assert found == {"taken": 6, "restored": 6, "damaged": 12, "found": 12, "short": 0}


def test_backups_of_postgresql_under_load_go_back_into_either(tmp_path: Path, cluster: Any) -> None:
    turn = iter((cluster.new(), "", cluster.new()))
    found = backups(tmp_path, 2, 4, 2, lambda: next(turn))
    assert found == {"taken": 2, "restored": 2, "damaged": 4, "found": 4, "short": 0}
