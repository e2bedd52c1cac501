"""The kernel: whole runs by size, linear readings, and beside plain Python and Node in one run.

    python bench/bench_kernel.py            300 and 2,000 voids, then the three engines
    python bench/bench_kernel.py --quick    300 voids and the engines only
    python bench/bench_kernel.py --large    one population at 20,000 voids as well

Seconds are CPU seconds divided by two (the machine that counts has two cores), so that other work
on the machine matters little; caches and clock rates are still shared with it.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from importlib import resources
from pathlib import Path

import msgspec
import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "independent"), str(ROOT / "scripts")]

from build_kernel import find_node  # noqa: E402 # found by the paths above
from problems import linear, not_smelt, smelt  # noqa: E402 # found by the paths above
from slow_kernel import SlowKernel  # noqa: E402 # found by the paths above

from bench.houses_for_kernel import house  # noqa: E402 # found by the paths above
from bench.table import Row, show  # noqa: E402 # found by the paths above
from wainscot.diagnosis.kernel import Problem, combine, encode, run, run_bytes  # noqa: E402 # found by the paths above

SIZES = {300: (800, 50), 2000: (5500, 120), 20000: (55000, 300)}
TARGETS = {300: 5.0, 2000: 30.0, 20000: 120.0}
ROOMS, NEAR = 4, 40


def with_smells(problem: Problem, seed: int) -> Problem:
    """Four rooms that were smelt in, forty voids near each, two with a smell and two without."""
    rng = np.random.default_rng(seed)
    voids = len(problem.row_of)
    smells = []
    for room in range(ROOMS):
        away = np.abs(np.arange(voids) - int(rng.integers(voids)))
        near = np.argsort(away, kind="stable")[:NEAR]
        share = 0.5 * np.exp(-away[near] / 8.0) * rng.lognormal(0.0, 0.7, NEAR)
        curve = not_smelt(0.5) if room % 2 else smelt(0.5)
        smells.append((dict(zip(near.tolist(), share.tolist(), strict=True)), curve))
    return msgspec.structs.replace(problem, **linear(smells, problem.detail[problem.row_of]))


def whole_run(what: str, problem: Problem, target: float, populations: int = 8) -> Row:
    """4,096 draws; fewer populations are counted up to eight."""
    cpu = time.process_time()
    found = run(problem, seed=3, populations=populations)
    cpu = (time.process_time() - cpu) * 8 / populations
    sweeps = 8 * len(found[0].temperatures) * found[0].chains
    note = f"{len(found[0].temperatures)} steps, tilt {found[0].tilt:g}, "
    note += f"{1000 * cpu / sweeps:.3f} ms a sweep, "
    if populations < 8:
        note += f"from {populations} population"
    else:
        note += "settled" if combine(found).settled else "not settled"
    share = min(p.correction_share for p in found)
    if share < 1.0:
        note += f", correction leaves {100 * share:.0f} % or more effective"
    return Row(what, cpu / 2, target, note)


def sizes(chosen: list[int]) -> list[Row]:
    """Three houses of each size, and one with smells; at 20,000 voids one population of one."""
    out: list[Row] = []
    for voids in chosen:
        passages, looks = SIZES[voids]
        target = TARGETS[voids]
        label = f"{voids:,} voids, {passages:,} passages, {looks} looks"
        if voids > 2000:
            problem = house(voids, passages, 1, looks=looks)
            out.append(whole_run(label, problem, target, populations=1))
            continue
        for seed in (1, 2, 3):
            problem = house(voids, passages, seed, looks=looks)
            out.append(whole_run(f"{label}, house {seed}", problem, target))
        smelly = with_smells(house(voids, passages, 1, looks=looks), 1)
        out.append(whole_run(f"{label}, house 1, {ROOMS} smells", smelly, target))
    return out


def engines() -> list[Row]:
    """One small population in three engines, which must agree."""
    problem = with_smells(house(300, 800, 1), 1)
    draws = 24
    start = time.process_time()
    slow = SlowKernel(problem, 3, 0, draws=draws, sweeps=1).run()
    seconds = {"plain Python": time.process_time() - start}
    data = encode(problem, seed=3, draws=draws)
    run_bytes(data, populations=1)
    start = time.process_time()
    fast = run_bytes(data, populations=1)[0].digest
    seconds["wasmtime"] = time.process_time() - start
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "problem.bin").write_bytes(data)
        module = resources.files("wainscot.diagnosis").joinpath("kernel.wasm")
        command = [find_node()[0], str(ROOT / "kernel" / "digest.mjs"), str(module)]
        command += [str(Path(folder) / "problem.bin"), "0", "0", "0"]
        lines = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    _, node, last = lines.splitlines()[-1].split()
    seconds["Node (wall)"] = float(last)
    same = "same bits" if slow == fast == node else "BITS DIFFER"
    return [
        Row(
            f"300 voids, {draws} draws, {name}",
            value,
            None,
            f"{seconds['plain Python'] / value:.0f} x plain Python, {same}",
        )
        for name, value in seconds.items()
    ]


def rows() -> list[Row]:
    """For ``python -m bench``."""
    return [*sizes([300, 2000]), *engines()]


if __name__ == "__main__":
    chosen = [300] if "--quick" in sys.argv else [300, 2000]
    if "--large" in sys.argv:
        chosen.append(20000)
    for row in sizes(chosen):
        print(show([row]).splitlines()[-1], flush=True)
    print(show(engines()))
