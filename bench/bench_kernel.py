"""How long the kernel takes: whole runs by size, and beside plain Python and Node in one run.

    python bench/bench_kernel.py            sizes 300 and 2,000, then the three engines
    python bench/bench_kernel.py --quick    size 300 and the engines only

Seconds are CPU seconds divided by two (the machine that counts has two cores) and wall seconds.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from importlib import resources
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "tests" / "independent"), str(ROOT / "scripts")]

from build_kernel import find_node  # noqa: E402
from houses_for_kernel import house  # noqa: E402
from slow_kernel import SlowKernel  # noqa: E402

from wainscot.diagnosis.kernel import combine, encode, run, run_bytes  # noqa: E402

SIZES = {300: (800, 50), 2000: (5500, 120)}


def whole_runs(sizes: list[int]) -> None:
    print("voids passages house   CPU/2    wall  steps  tilt  settled  ms a sweep")
    for voids in sizes:
        passages, looks = SIZES[voids]
        for seed in (1, 2, 3):
            problem = house(voids, passages, seed, looks=looks)
            wall, cpu = time.perf_counter(), time.process_time()
            found = run(problem, seed=3)
            wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
            sweeps = sum(len(p.temperatures) * p.chains for p in found)
            print(
                f"{voids:5d} {passages:8d} {seed:5d} {cpu / 2:7.2f} {wall:7.2f} "
                f"{len(found[0].temperatures):6d} {found[0].tilt:5.1f}  "
                f"{combine(found).settled!s:7s} {1000 * cpu / sweeps:10.3f}",
                flush=True,
            )


def engines() -> None:
    """One small population in three engines, which must agree."""
    problem = house(300, 800, 1)
    draws = 24
    start = time.perf_counter()
    slow = SlowKernel(problem, 3, 0, draws=draws, sweeps=1).run()
    seconds = {"plain Python": time.perf_counter() - start}
    data = encode(problem, seed=3, draws=draws)
    run_bytes(data, populations=1)
    start = time.perf_counter()
    fast = run_bytes(data, populations=1)[0].digest
    seconds["wasmtime"] = time.perf_counter() - start
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "problem.bin").write_bytes(data)
        module = resources.files("wainscot.diagnosis").joinpath("kernel.wasm")
        command = [find_node()[0], str(ROOT / "kernel" / "digest.mjs"), str(module)]
        command += [str(Path(folder) / "problem.bin"), "0", "0", "0"]
        lines = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    _, node, last = lines.splitlines()[-1].split()
    seconds["Node"] = float(last)
    print(f"\n300 voids, {draws} draws; digests agree: {slow == fast == node}")
    for name, value in seconds.items():
        print(f"{name:14s} {value:8.3f} s  {seconds['plain Python'] / value:7.1f} x plain Python")


if __name__ == "__main__":
    whole_runs([300] if "--quick" in sys.argv else list(SIZES))
    engines()
