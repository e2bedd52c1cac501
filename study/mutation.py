"""How many small faults put into the code the tests find.

    python -m study mutation          40 faults in each of five packages (some 20 minutes)
    python -m study mutation -n 10    fewer; nothing is written
    python -m study.mutation changed  functions changed since then, three minutes at most

mutmut puts the faults in (a ``<`` for a ``<=``, a ``None`` for a value, an argument left out), one
at a time, and runs the tests that touch the function.  A fault that no test minds is a survivor.
Which faults are tried is drawn by a fixed seed from all of a package, so that the share is an
estimate with an interval.  Two sorts that got past are counted aside: a fault within a sentence for
people (tests compare what it must say, not each word), and ``strict=`` of a ``zip``, a guard.
Survivors that change nothing that matters are explained in study/mutation_explained.toml, each with
its reason.

Limits: what stands outside functions (tables, types) gets no faults, nor do decorated functions.
Tests of other packages may find what a package's own do not; they are not run.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

Found = dict[str, Any]

ROOT = Path(__file__).resolve().parents[1]
SOURCE = Path("src") / "wainscot"
EXPLAINED = ROOT / "study" / "mutation_explained.toml"
RESULT = ROOT / "study" / "results" / "mutation.json"
SEED = 93000
EACH = 40
"""Faults tried in each package."""
ASKED = 0.85
"""Share of them that the tests must find, or somebody explain."""
LONGEST = 180.0
"""How long faults in changed functions are tried. [s]"""
ALONE = ("src/wainscot/store/alone.py", "src/wainscot/store/migrations/*")
"""Files that get no fault: the verifier is given out as it stands, and migrations are loaded by
their path, where no fault is seen.  Other tests hold them to the tables."""
ALSO = ("tests", "docs", "study", "bench", "kernel", "web", "scripts", "README.md")
"""What the tests read beside the code."""

TESTS: dict[str, tuple[str, ...]] = {
    "diagnosis": (
        "tests/diagnosis", "tests/properties/test_diagnosis.py", "tests/pocket/test_pocket.py",
        "tests/independent/test_every_form.py", "tests/independent/test_kernel_exact.py",
        "tests/independent/test_kernel_readings.py", "tests/independent/test_kernel_refusals.py",
    ),
    "openings": (
        "tests/openings", "tests/properties/test_openings.py", "tests/cases/test_release.py",
        "tests/independent/test_openings_milp.py", "tests/access/test_own_cuts.py",
        "tests/picture/test_curve.py",
    ),
    "sealing": (
        "tests/sealing", "tests/properties/test_seals_and_absence.py",
        "tests/independent/test_seal_cut.py", "tests/picture/test_seal_map.py",
        "tests/all_clear/test_callback.py",
    ),
    "all_clear": (
        "tests/all_clear", "tests/published/test_absence.py", "tests/published/test_removal.py",
        "tests/published/test_removal_series.py", "tests/properties/test_any_traps.py",
        "tests/properties/test_seals_and_absence.py", "tests/independent/test_absence_simulated.py",
        "tests/independent/test_own_rate.py", "tests/independent/test_removal_direct.py",
    ),
    "store": ("tests/store", "tests/record"),
}  # fmt: skip
"""The tests of each package that is looked into."""

SPINNER = tuple("⠋⠙⠹⠸⠼⠴⠦⠧⠇⠏")
"""How a line begins that only turns while one waits."""
SENTENCE = re.compile(r"""(['"])(?:(?!\1).)* (?:(?!\1).)*\1""")
"""A text of several words."""
GUARD = re.compile(r", (strict=\w+)?(?=\))")
"""``zip`` told to refuse lists of unequal length."""
KILLED = {1, 3}
TIMED_OUT = {24, 36, 152, 255, -24}
SURVIVED = 0
UNTESTED = 33


@dataclass(frozen=True)
class Fault:
    """One small fault: its name, what became of it, and the line it changed."""

    name: str
    code: int
    change: str

    @property
    def found(self) -> bool:
        """Whether a test failed, or never came to an end."""
        return self.code in KILLED or self.code in TIMED_OUT or self.code < 0

    @property
    def aside(self) -> bool:
        """Whether it only changes a sentence for people, or a guard that no sound code meets."""
        removed, added = self.change.split("\n")[:2] if "\n" in self.change else ("", "")
        return any(
            bool(part.search(removed)) and part.sub("", removed[1:]) == part.sub("", added[1:])
            for part in (SENTENCE, GUARD)
        )


class Workshop:
    """A copy of the tree in which one package gets its faults."""

    def __init__(self, package: str, folder: Path) -> None:
        """Take the package's name and an empty folder."""
        self.package = package
        self.folder = folder

    def set_up(self, only: tuple[str, ...]) -> None:
        """Copy the tree and say which files get faults, by path."""
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=ROOT, check=True, capture_output=True,
        ).stdout.decode()  # fmt: skip
        for name in filter(None, listed.split("\0")):
            if (ROOT / name).is_file():
                (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(ROOT / name, self.folder / name)
        static = SOURCE / "static"
        if (ROOT / static).is_dir():
            shutil.copytree(ROOT / static, self.folder / static, dirs_exist_ok=True)
        told = {
            "source_paths": ["src/"],
            "only_mutate": list(only),
            "do_not_mutate": list(ALONE),
            "pytest_add_cli_args_test_selection": [*TESTS[self.package]],
            "pytest_add_cli_args": ["-p", "no:cacheprovider", "--hypothesis-seed=1"],
            "also_copy": [name for name in ALSO if (self.folder / name).exists()],
        }
        lines = "\n".join(f"{key} = {json.dumps(value)}" for key, value in told.items())
        with (self.folder / "pyproject.toml").open("a", encoding="utf-8") as written:
            written.write(f"\n[tool.mutmut]\n{lines}\n")

    def mutmut(self, *words: str, longest: float | None = None) -> str:
        """Run mutmut; return what it printed, also where it ran out of time."""
        places = [self.folder / "mutants" / "src", self.folder / "mutants"]
        # Python remembers that a folder was not there, and would then run the code without faults.
        places[0].mkdir(parents=True, exist_ok=True)
        path = os.pathsep.join(map(str, places))
        try:
            printed = subprocess.run(
                [sys.executable, "-m", "mutmut", *words], cwd=self.folder, timeout=longest,
                capture_output=True, text=True, env={**os.environ, "PYTHONPATH": path},
            ).stdout  # fmt: skip
            return "\n".join(one for one in printed.splitlines() if one[:1] not in SPINNER)
        except subprocess.TimeoutExpired:
            return ""

    def codes(self) -> dict[str, int | None]:
        """Return what is known of every fault so far, by its name."""
        known: dict[str, int | None] = {}
        for meta in sorted(self.folder.glob("mutants/src/**/*.meta")):
            known.update(json.loads(meta.read_text(encoding="utf-8"))["exit_code_by_key"])
        return known

    def change(self, name: str) -> str:
        """Return the lines that a fault takes out and puts in."""
        shown = self.mutmut("show", name).splitlines()
        kept = [one for one in shown if one[:1] in "+-" and one[:3] not in ("+++", "---")]
        return "\n".join(kept)

    def drawn(self, count: int, wanted: set[str] | None, longest: float | None) -> list[Fault]:
        """Put in faults drawn by the seed, and return what became of each that was tried."""
        # No fault is called so: mutmut makes the faults and times the tests, and then stops.
        printed = self.mutmut("run", "none at all", longest=longest)
        names = sorted(self.codes())
        if not (self.folder / "mutants" / "mutmut-stats.json").is_file():
            if longest is None:
                raise RuntimeError(f"{self.package}: the tests fail without a fault\n{printed}")
            return []
        if wanted is not None:
            names = [name for name in names if function_of(name) in wanted]
        chosen = random.Random(f"{SEED} {self.package}").sample(names, min(count, len(names)))
        tested = set(
            json.loads((self.folder / "mutants" / "mutmut-stats.json").read_text())[
                "tests_by_mangled_function_name"
            ]
        )
        run = [name for name in chosen if name.rpartition("__mutmut_")[0] in tested]
        if run:
            self.mutmut("run", "--max-children", "1", *run, longest=longest)
        codes = self.codes()
        after = {name: UNTESTED if name not in run else codes[name] for name in chosen}
        return [
            Fault(name, code, "" if code in KILLED else self.change(name))
            for name, code in after.items() if code is not None
        ]  # fmt: skip


def function_of(name: str) -> str:
    """Return module and function of a fault's name, as :func:`digests` writes them."""
    module, _, rest = name.rpartition(".")
    plain = rest.rpartition("__mutmut_")[0]
    if "ǁ" in plain:  # a method: xǁClassǁname
        plain = ".".join(plain.split("ǁ")[1:])
    return f"{module}.{plain.removeprefix('x_')}"


def digests(package: str) -> dict[str, str]:
    """Return a digest of each function of a package that does not change with its layout."""
    found: dict[str, str] = {}
    for path in sorted((ROOT / SOURCE / package).glob("**/*.py")):
        module = ".".join(path.relative_to(ROOT / "src").with_suffix("").parts)
        module = module.removesuffix(".__init__")
        for outer in ast.parse(path.read_text(encoding="utf-8")).body:
            inner = outer.body if isinstance(outer, ast.ClassDef) else [outer]
            prefix = f"{outer.name}." if isinstance(outer, ast.ClassDef) else ""
            for one in inner:
                if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef):
                    digest = hashlib.sha256(ast.dump(one).encode()).hexdigest()[:16]
                    found[f"{module}.{prefix}{one.name}"] = digest
    return found


def explained() -> dict[str, str]:
    """Return the reason why a fault does no harm, by function and change."""
    if not EXPLAINED.is_file():
        return {}
    told = tomllib.loads(EXPLAINED.read_text(encoding="utf-8"))["fault"]
    return {f"{one['function']}\n{one['change'].strip()}": one["reason"] for one in told}


def summary(faults: list[Fault]) -> Found:
    """Return how many faults were found, with what was not."""
    from scipy.stats import binomtest

    reasons = explained()
    code = [one for one in faults if one.found or not one.aside]
    missed = [one for one in code if not one.found]
    why = {one: reasons.get(f"{function_of(one.name)}\n{one.change.strip()}") for one in missed}
    found = len(code) - len(missed)
    settled = found + sum(reason is not None for reason in why.values())
    band = binomtest(settled, max(len(code), 1)).proportion_ci(method="wilson")
    return {
        "tried": len(faults), "aside_missed": len(faults) - len(code),
        "found": found, "explained": settled - found,
        "untested": sum(one.code == UNTESTED for one in missed),
        "share": round(settled / max(len(code), 1), 3),
        "share_95": [round(float(band.low), 3), round(float(band.high), 3)],
        "missed": [
            {"function": function_of(one.name), "change": one.change,
             "untested": one.code == UNTESTED, "explained": why[one]}
            for one in missed
        ],
    }  # fmt: skip


def one_package(package: str, count: int) -> Found:
    """Try so many faults in one package, and print how many were found."""
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        shop = Workshop(package, Path(folder))
        shop.set_up((f"{SOURCE}/{package}/*",))
        found = summary(shop.drawn(count, None, None))
    took = time.monotonic() - began
    print(
        f"  {package:10} found or explained {found['share']:.0%} {found['share_95']}  {took:.0f} s",
        flush=True,
    )
    return found


def run(count: int) -> Found:
    """Try faults in every package, two packages at a time."""
    with ThreadPoolExecutor(max_workers=2) as pool:
        found = list(pool.map(partial(one_package, count=count), TESTS))
    packages = dict(zip(TESTS, found, strict=True))
    return {
        "seed": SEED, "each": count, "packages": packages,
        "functions": dict(each for package in TESTS for each in digests(package).items()),
        "passes": all(one["share"] >= ASKED for one in packages.values()),
    }  # fmt: skip


def changed() -> int:
    """Try faults in the functions that changed since the last whole run; return the exit code.

    Without time for all of them it says how many were tried.  It fails where a fault that was tried
    in a changed function is neither found nor explained and they are more than the study allows.
    """
    known = json.loads(RESULT.read_text(encoding="utf-8"))["functions"]
    tried: list[Fault] = []
    until = time.monotonic() + LONGEST
    for package in TESTS:
        now = digests(package)
        wanted = {name for name, digest in now.items() if known.get(name) != digest}
        left = until - time.monotonic()
        if not wanted or left <= 0:
            print(f"{package}: {len(wanted)} functions changed{', no time left' * (left <= 0)}")
            continue
        with tempfile.TemporaryDirectory() as folder:
            shop = Workshop(package, Path(folder))
            shop.set_up(tuple(sorted({file_of(name) for name in wanted})))
            faults = shop.drawn(EACH, wanted, left / 2)
        print(f"{package}: {len(wanted)} functions changed, {len(faults)} faults tried")
        tried += faults
    whole = summary(tried)
    for one in whole["missed"]:
        if not one["explained"]:
            print(f"not found in {one['function']}\n{one['change']}")
    if tried:
        print(f"found or explained {whole['share']:.0%} of {len(tried)}")
    return int(len(tried) >= 20 and whole["share"] < ASKED)


def file_of(function: str) -> str:
    """Return the path of the file that holds a function."""
    parts = function.split(".")
    for end in range(len(parts) - 1, 0, -1):
        for path in (Path("src", *parts[:end]).with_suffix(".py"),
                     Path("src", *parts[:end], "__init__.py")):  # fmt: skip
            if (ROOT / path).is_file():
                return str(path)
    raise ValueError(f"no file holds {function}")


if __name__ == "__main__":
    if sys.argv[1:] != ["changed"]:
        sys.exit("python -m study.mutation changed; the whole: python -m study mutation")
    sys.exit(changed())
