"""Run the targets one after the other and write ``study/results/fuzz.json``."""

from __future__ import annotations

import argparse
import datetime
import json
import os
import platform
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from fuzz import TARGETS

ROOT = Path(__file__).resolve().parents[1]
RESULTS = ROOT / "study" / "results" / "fuzz.json"
WORK = ROOT / "build" / "fuzz"
SECONDS, SEED = 120, 1


def tally(told: str) -> dict[str, int]:
    """Return executions and edges out of what the fuzzer told.

    Parameters
    ----------
    told : str
        Its standard error.
    """
    executed = re.findall(r"stat::number_of_executed_units:\s*(\d+)", told)
    lines = re.findall(r"^#(\d+)\s.*?cov: (\d+)", told, re.M)
    last = lines[-1] if lines else ("0", "0")
    return {"executions": int(executed[-1] if executed else last[0]), "edges": int(last[1])}


def fuzzed(name: str, seconds: int, seed: int) -> dict[str, Any]:
    """Run one target in a process of its own, and return what it came to."""
    folder = WORK / name
    shutil.rmtree(folder, ignore_errors=True)
    temporary = folder / "temporary"  # a process that is ended leaves its files here
    temporary.mkdir(parents=True)
    command = [sys.executable, "-m", "fuzz.one", name, str(folder), str(seconds), str(seed)]
    with (folder / "log.txt").open("wb") as log:
        code = subprocess.run(command, cwd=ROOT, stdout=log, stderr=log, check=False,
                              env={**os.environ, "TMPDIR": str(temporary)}).returncode  # fmt: skip
    written = folder / "findings.jsonl"
    findings = [json.loads(one) for one in written.read_text().splitlines()] if (
        written.exists()) else []  # fmt: skip
    told = (folder / "log.txt").read_text("utf-8", "replace")
    if code:  # it took too long, too much memory, or the process ended
        kept = [one.name for one in folder.glob("*-*") if one.name.split("-")[0] in
                ("crash", "timeout", "oom", "slow")]  # fmt: skip
        findings.append({"place": f"the process ended with {code}", "input": ", ".join(kept),
                         "said": told[-200:]})  # fmt: skip
    return {**tally(told), "findings": findings}


def main() -> int:
    """Run the targets that the command line names; 1 where one finds something."""
    parser = argparse.ArgumentParser(prog="python -m fuzz", description="Fuzzing led by coverage.")
    parser.add_argument("names", nargs="*", help=", ".join(TARGETS))
    parser.add_argument("--seconds", type=int, default=SECONDS, help="for each target")
    parser.add_argument("--seed", type=int, default=SEED)
    chosen = parser.parse_args()
    if unknown := [name for name in chosen.names if name not in TARGETS]:
        parser.error(f"no target is called {unknown[0]}; there are {', '.join(TARGETS)}")
    found = {}
    for name in chosen.names or TARGETS:
        one = found[name] = fuzzed(name, chosen.seconds, chosen.seed)
        print(f"{name:10} {one['executions']:9} executions, {one['edges']:6} edges, "
              f"{len(one['findings'])} findings", flush=True)  # fmt: skip
        for each in one["findings"]:
            print(f"  {each['place']}: {each['said']!r} (build/fuzz/{name}/{each['input']})")
    if not chosen.names:
        _write(found, chosen.seconds, chosen.seed)
    return int(any(one["findings"] for one in found.values()))


def _write(found: dict[str, Any], seconds: int, seed: int) -> None:
    from importlib.metadata import version

    head = {
        "command": f"python -m fuzz --seconds {seconds} --seed {seed}",
        "date": datetime.date.today().isoformat(),
        "fuzzer": f"atheris {version('atheris')}",
        "machine": f"{platform.machine()}, {os.cpu_count()} cores, "
        f"Python {platform.python_version()}",
        "seed": seed,
        "seconds a target": seconds,
    }
    passes = not any(one["findings"] for one in found.values())
    RESULTS.write_text(json.dumps({**head, "targets": found, "passes": passes}, indent=1) + "\n")


if __name__ == "__main__":
    sys.exit(main())
