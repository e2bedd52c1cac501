"""One target under the fuzzer: python -m fuzz.one NAME FOLDER SECONDS SEED

Writes ``findings.jsonl`` and an input for each finding into the folder; a finding that was met
before at the same place counts once, and the run goes on.  The fuzzer's own tally goes to standard
error.
"""

from __future__ import annotations

import hashlib
import importlib
import json
import sys
import traceback
from collections.abc import Callable
from pathlib import Path

from fuzz.mutate import mutated

SLOWEST, MOST_MEMORY = 20, 2000
"""Seconds and megabytes that one input may take."""


def place_of(error: BaseException) -> str:
    """Return where an exception comes from: its class, and the last line that is the project's."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [one for one in frames if "/wainscot/" in one.filename] or frames
    return f"{type(error).__name__} in {Path(ours[-1].filename).name}, {ours[-1].name}"


def watched(try_one: Callable[[bytes], None], folder: Path) -> Callable[[bytes], None]:
    """Return a target that writes findings down and goes on."""
    met: set[str] = set()

    def run(data: bytes) -> None:
        try:
            try_one(data)
        except Exception as error:  # any at all: the rule is that none comes out
            place = place_of(error)
            if place in met:
                return
            met.add(place)
            name = f"input-{hashlib.sha256(data).hexdigest()[:12]}"
            (folder / name).write_bytes(data)
            told = {"place": place, "said": str(error)[:200], "input": name}
            with (folder / "findings.jsonl").open("a") as file:
                file.write(json.dumps(told) + "\n")

    return run


def main(name: str, folder: Path, seconds: str, seed: str) -> None:
    """Run a target until the time is over; does not return."""
    import atheris

    corpus = folder / "corpus"
    corpus.mkdir(parents=True)
    with atheris.instrument_imports(include=["wainscot"]):
        target = importlib.import_module(f"fuzz.targets.{name}")
        run = watched(target.one, folder)
        for n, data in enumerate(target.seeds()):
            (corpus / f"seed-{n}").write_bytes(data)
            run(data)  # what is imported late is counted too
    atheris.Setup(
        ["fuzz", str(corpus), f"-max_total_time={seconds}", f"-seed={seed}", f"-timeout={SLOWEST}",
         f"-rss_limit_mb={MOST_MEMORY}", "-print_final_stats=1", f"-artifact_prefix={folder}/"],
        run,
        custom_mutator=lambda data, most, chance: mutated(data, most, chance, atheris.Mutate),
    )  # fmt: skip
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:])
