"""Run every ``bench_*.py`` (or those named on the command line) and print the table."""

from __future__ import annotations

import importlib
import pkgutil
import platform
import sys

import bench
from bench.table import show


def main(names: list[str]) -> None:
    found = [m.name for m in pkgutil.iter_modules(bench.__path__) if m.name.startswith("bench_")]
    chosen = [name for name in found if not names or name.removeprefix("bench_") in names]
    print(f"{platform.machine()}, Python {platform.python_version()}, {sys.platform}\n")
    for name in chosen:
        module = importlib.import_module(f"bench.{name}")
        if not names and getattr(module, "BY_NAME_ALONE", False):
            continue
        print(f"## {(module.__doc__ or name).splitlines()[0]}\n")
        print(show(module.rows()), "\n", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
