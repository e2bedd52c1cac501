"""The same bytes give the same draws: in plain Python, in another engine, with any thread count."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from problems import ladder, linear, smelt
from slow_kernel import SlowKernel
from test_kernel_exact import CASES, LOADS, mixed, tiny_problems

from wainscot.diagnosis.kernel import (
    IN_TURNS,
    NO_CORRECTION,
    NO_TILT,
    WASTE_FREE,
    Instance,
    KernelError,
    Problem,
    encode,
    run,
)

ROOT = Path(__file__).resolve().parents[2]
FORMS = [
    (0, 1), (0, 2), (WASTE_FREE, 3), (NO_TILT, 1), (NO_CORRECTION, 1), (IN_TURNS, 1),
    (IN_TURNS | WASTE_FREE, 3),
]  # fmt: skip


def fast(problem: Problem, seed: int, flags: int = 0, sweeps: int = 1) -> str:
    found = run(problem, seed=seed, populations=3, chains=32, length=1, flags=flags, sweeps=sweeps)
    return found[2].digest


def slow(problem: Problem, seed: int, flags: int = 0, sweeps: int = 1) -> str:
    return SlowKernel(problem, seed, 2, draws=32, sweeps=sweeps, flags=flags).run()


@pytest.mark.parametrize(("flags", "sweeps"), FORMS)
@pytest.mark.parametrize("name", [*CASES, "mixed"])
def test_plain_python_draws_the_same(name: str, flags: int, sweeps: int) -> None:
    problem = mixed() if name == "mixed" else CASES[name](6)
    assert fast(problem, 11, flags, sweeps) == slow(problem, 11, flags, sweeps)


@given(tiny_problems(), st.integers(0, 2**64 - 1))
@settings(max_examples=25, deadline=None)
def test_plain_python_draws_the_same_on_any_tiny_problem(problem: Problem, seed: int) -> None:
    assert fast(problem, seed) == slow(problem, seed)


def test_the_number_of_threads_changes_nothing() -> None:
    problem = CASES["zones_and_loads"](6)
    one, two = (run(problem, seed=4, chains=64, length=1, threads=n) for n in (1, 3))
    assert [p.digest for p in one] == [p.digest for p in two]
    assert len({p.digest for p in one}) == len(one)


@pytest.mark.parametrize("name", [*CASES, "mixed"])
def test_a_tilt_taken_over_changes_nothing(name: str) -> None:
    data = encode(mixed() if name == "mixed" else CASES[name](6), seed=8, draws=32)
    first, second, alone = Instance(), Instance(), Instance()
    for number, one in ((0, first), (1, second), (1, alone)):
        one.setup(data, number)
    assert first.call("tiltFound") == -1
    while not first.advance():
        pass
    second.take_tilt(first.call("tiltFound"))
    for one in (second, alone):
        while not one.advance():
            pass
    kinds = ("<f8", "<f8", "u1", "u1", "u1", "u1", "u1", "u1", "<f8")
    for field, kind in enumerate(kinds):
        assert second.field(field, kind).tobytes() == alone.field(field, kind).tobytes()


@pytest.mark.parametrize("tilt", [11, 2**31 - 1])
def test_a_tilt_that_is_none_is_refused(tilt: int) -> None:
    one = Instance()
    one.setup(encode(ladder(6, loads=LOADS), seed=1, draws=8), 0)
    with pytest.raises(KernelError):
        one.take_tilt(tilt)


def test_a_tilt_that_comes_too_late_is_refused() -> None:
    one = Instance()
    one.setup(encode(ladder(6, loads=LOADS), seed=1, draws=8), 0)
    one.advance()
    with pytest.raises(KernelError):
        one.take_tilt(1)


def test_another_seed_draws_something_else() -> None:
    problem = ladder(6, loads=LOADS)
    assert fast(problem, 1) != fast(problem, 2)


def node() -> str:
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        from build_kernel import find_node
    finally:
        sys.path.pop(0)
    return find_node()[0]


@pytest.mark.parametrize("smells", [[], [({3: 1.0, 7: 0.4}, smelt(0.5))]])
def test_another_engine_draws_the_same(tmp_path: Path, smells: list[Any]) -> None:
    # Outside: the engine inside Node (V8) runs the same module.
    problem = CASES["zones_and_loads"](12)
    fields = linear(smells, problem.detail[problem.row_of])
    problem = msgspec.structs.replace(problem, **fields)
    data = encode(problem, seed=9, draws=128)
    (tmp_path / "problem.bin").write_bytes(data)
    module = resources.files("wainscot.diagnosis").joinpath("kernel.wasm")
    command = [node(), str(ROOT / "kernel" / "digest.mjs"), str(module)]
    command += [str(tmp_path / "problem.bin"), "0", "1"]
    answer = subprocess.run(command, capture_output=True, text=True, check=True, env=os.environ)
    digests = [line.split()[1] for line in answer.stdout.splitlines()]
    found = run(problem, seed=9, populations=2, chains=128, length=1)
    assert digests == [p.digest for p in found]


def test_run_passages_are_packed_lowest_bit_first() -> None:
    problem = ladder(6)
    found = run(problem, seed=4, populations=8, chains=512, length=1)
    bits = np.concatenate([np.unpackbits(p.run, axis=1, bitorder="little") for p in found])[
        :, : len(problem.passage_prior)
    ]
    # Without signs the draws come from the prior, so each passage is run as often as it says.
    error = np.sqrt(problem.passage_prior * (1 - problem.passage_prior) / len(bits))
    assert (np.abs(bits.mean(axis=0) - problem.passage_prior) <= 4.5 * error).all()


def test_the_module_is_what_its_sources_give() -> None:
    """Needs the compiler, which the build script installs by itself."""
    script = ROOT / "scripts" / "build_kernel.py"
    done = subprocess.run([sys.executable, str(script), "--check"], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
