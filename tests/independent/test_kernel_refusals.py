"""Corrupted input is refused with what is wrong and where; it never traps and never hangs."""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from problems import FOUND, ladder, linear, make, sign, smelt
from test_kernel_exact import mixed as mixed_without

from wainscot.diagnosis import kernel
from wainscot.diagnosis.kernel import KernelError, Problem, encode, run, run_bytes


def mixed() -> Problem:
    """The mixed problem with two rooms that were smelt in."""
    problem = mixed_without()
    smells = [({1: 0.5, 3: 1.0}, smelt(0.5)), ({0: 0.2}, -smelt(0.5) - 3.0)]
    fields = linear(smells, problem.detail[problem.row_of])
    return msgspec.structs.replace(problem, **fields)


def changed(**fields: Callable[[np.ndarray], Any]) -> Problem:
    """The mixed problem with some arrays altered in place."""
    problem = mixed()
    new = {}
    for name, change in fields.items():
        array = np.array(getattr(problem, name))
        change(array)
        new[name] = array
    return msgspec.structs.replace(problem, **new)


def put(place: Any, value: Any) -> Callable[[np.ndarray], Any]:
    return lambda array: array.__setitem__(place, value)


REFUSED = [
    (-4, 2, {"passage_ends": put((2, 1), 4)}),
    (-4, 1, {"passage_ends": put((1, 0), -1)}),
    (-4, 0, {"passage_ends": put((0, 1), 0)}),
    (-5, 3, {"passage_prior": put(3, 1.0)}),
    (-5, 0, {"passage_prior": put(0, 0.0)}),
    (-5, 1, {"passage_prior": put(1, math.nan)}),
    (-6, 1, {"source_void": put(1, 4)}),
    (-7, 2, {"source_prior": put((2, 0), -0.1)}),
    (-7, 0, {"source_prior": put(0, 0.0)}),
    (-7, 1, {"source_prior": put((1, 2), math.inf)}),
    (-8, 1, {"load_prior": put(1, math.nan)}),
    (-8, -1, {"load_prior": put(slice(None), 0.0)}),
    (-9, 3, {"row_of": put(3, 3)}),
    (-10, 1, {"detail": put((1, 0, 0, 0), math.nan)}),
    (-11, 1, {"detail": put(1, 0.0)}),
    (-12, 0, {"zone_offsets": put(0, 1)}),
    (-12, 0, {"zone_offsets": put(1, 4)}),
    (-12, 1, {"zone_offsets": put(2, 1)}),
    (-13, 0, {"zone_void": put(0, 99)}),
    (-14, 2, {"zone_hit": put((2, 1), 1.5)}),
    (-15, 1, {"zone_false": put(1, -0.01)}),
    (-21, 0, {"linear_offsets": put(0, 1)}),
    (-21, 1, {"linear_offsets": put(1, 4)}),
    (-21, 2, {"linear_offsets": put(2, 2)}),
    (-22, 2, {"linear_void": put(2, 4)}),
    (-23, 1, {"linear_emission": put((1, 0, 2), -1.0)}),
    (-23, 2, {"linear_emission": put((2, 1, 0), math.inf)}),
    (-24, 5, {"linear_grid": put(5, -7.0)}),
    (-24, 3, {"linear_grid": put(3, math.nan)}),
    (-25, 1, {"linear_log_likelihood": put((1, 7), math.nan)}),
    (-26, 2, {"linear_soil": put((2, 5), math.nan)}),
]


@pytest.mark.parametrize(("code", "index", "fields"), REFUSED)
def test_a_bad_value_is_named_with_its_place(code: int, index: int, fields: dict[str, Any]) -> None:
    with pytest.raises(KernelError) as caught:
        run(changed(**fields), seed=1, populations=1)
    assert (caught.value.code, caught.value.index) == (code, index)


def test_contradicting_signs_are_quoted_with_their_voids() -> None:
    with pytest.raises(KernelError, match=r"contradict each other \(voids \[3\]\)"):
        run(changed(detail=put(1, 0.0)), seed=1, populations=1)


def test_every_code_of_the_kernel_has_words() -> None:
    assert set(range(-26, 0)) <= set(kernel.PROBLEMS)


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        (0, b"XXXX", -1),
        (4, struct.pack("<I", 1), -1),
        (8, struct.pack("<I", 16), -1),
        (12, struct.pack("<I", 0), -3),
        (16, struct.pack("<I", 5), -2),
        (16, struct.pack("<I", 2**31), -3),
        (40, struct.pack("<I", 0), -3),
        (40, struct.pack("<I", 65536), -3),
        (44, struct.pack("<I", 0), -3),
        (56, struct.pack("<d", math.nan), -3),
        (64, struct.pack("<I", 10001), -3),
        (64, struct.pack("<I", 3), -2),
        (68, struct.pack("<I", 2**31), -3),
        (72, struct.pack("<I", 0), -3),
        (76, struct.pack("<I", 2), -3),
    ],
)
def test_a_bad_header_is_refused(field: int, value: bytes, code: int) -> None:
    data = bytearray(encode(mixed(), seed=1))
    data[field : field + len(value)] = value
    with pytest.raises(KernelError) as caught:
        run_bytes(bytes(data), populations=1)
    assert caught.value.code == code


def test_a_short_or_padded_string_is_refused() -> None:
    data = encode(mixed(), seed=1)
    for other in (b"", data[:79], data[:-8], data + bytes(8), data[:-1] + b"\x01"):
        with pytest.raises(KernelError) as caught:
            run_bytes(other, populations=1)
        assert caught.value.code in (-1, -2)


BYTES = encode(mixed(), seed=1, draws=16)


def answer(data: bytes) -> None:
    """Either a named refusal or a valid answer; never a fault of the kernel's own (-91)."""
    try:
        found = run_bytes(data, populations=1)[0]
    except KernelError as refusal:
        code = refusal.code
    else:
        code = 0
    assert -26 <= code <= 0
    if code != 0:
        return
    assert found.reach.max() <= 2
    assert found.source.max(initial=0) <= 2
    assert math.isfinite(found.log_evidence)
    assert found.temperatures[-1] == 1.0


@given(st.lists(st.tuples(st.integers(0, len(BYTES) - 1), st.integers(1, 255)), min_size=1))
@settings(max_examples=300, deadline=None)
def test_flipped_bytes_are_refused_or_answered(flips: list[tuple[int, int]]) -> None:
    data = bytearray(BYTES)
    for place, mask in flips:
        data[place] ^= mask
    answer(bytes(data))


def test_every_single_byte_may_be_broken() -> None:
    for place in range(len(BYTES)):  # in each of three ways, one a byte
        data = bytearray(BYTES)
        data[place] ^= (0x80, 0x01, 0xFF)[place % 3]
        answer(bytes(data))


@given(st.binary(max_size=300))
@settings(max_examples=100, deadline=None)
def test_any_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(KernelError):
        run_bytes(data, populations=1)


def test_signs_that_only_impossible_draws_explain_still_end() -> None:
    table = sign(0.0, 0.0, 1.0)  # only "now" is possible, and nothing can get there
    problem = make(2, [], [(0, (0.5, 0.25, 0.25), True)], {1: table})
    found = run(problem, seed=1, populations=1)[0]
    assert found.log_evidence == pytest.approx(math.log(1e-300), rel=1e-9)


def test_progress_rises_to_one() -> None:
    seen: list[float] = []
    run(ladder(6, rows={11: sign(*FOUND)}), seed=1, populations=2, progress=seen.append)
    assert seen[-1] == 1.0
    assert seen == sorted(seen)


def test_a_stopped_run_stops() -> None:
    def stop(_: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(ladder(24, rows={47: sign(*FOUND)}), seed=1, populations=4, chains=4096, progress=stop)


def test_a_missing_library_gives_one_plain_message(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> Any:
        raise ImportError(name)

    kernel.load_module.cache_clear()
    monkeypatch.setattr(kernel.importlib, "import_module", missing)
    with pytest.raises(KernelError, match="pip install 'wasmtime>=25'"):
        run(mixed(), seed=1)
    monkeypatch.undo()
    kernel.load_module.cache_clear()
