"""The kernel's own exp, log and random numbers against values from outside."""

from __future__ import annotations

import math

import pytest
import slow_numbers
from hypothesis import given, settings
from hypothesis import strategies as st

from wainscot.diagnosis.kernel import Instance


@pytest.fixture(scope="module")
def instance() -> Instance:
    return Instance()


def ulps(value: float, true: float) -> float:
    return abs(value - true) / math.ulp(true)


@given(x=st.floats(-707.0, 709.0))
@settings(max_examples=1000, deadline=None)
def test_exp_is_within_two_last_places_of_the_c_library(instance: Instance, x: float) -> None:
    # Outside: the platform's C library through math.exp.
    assert ulps(instance.call("exp", x), math.exp(x)) <= 2


@given(x=st.floats(min_value=5e-324, allow_infinity=False) | st.floats(0.5, 2.0))
@settings(max_examples=1000, deadline=None)
def test_log_is_within_two_last_places_of_the_c_library(instance: Instance, x: float) -> None:
    # Outside: the platform's C library through math.log.
    true = math.log(x)
    assert (
        instance.call("log", x) == true if true == 0 else ulps(instance.call("log", x), true) <= 2
    )


@given(x=st.floats(-800.0, 800.0))
@settings(max_examples=500, deadline=None)
def test_slow_numbers_equal_the_kernels_to_the_last_bit(instance: Instance, x: float) -> None:
    assert slow_numbers.exp(x) == instance.call("exp", x)
    assert slow_numbers.log(abs(x)) == instance.call("log", abs(x))


def test_ends_of_the_range(instance: Instance) -> None:
    assert instance.call("exp", 0.0) == 1.0
    assert instance.call("exp", -1e4) == 0.0
    assert instance.call("exp", 1e4) == math.inf
    assert instance.call("log", 1.0) == 0.0
    assert instance.call("log", 0.0) == -math.inf
    assert math.isnan(instance.call("exp", math.nan))
    assert math.isnan(instance.call("log", math.nan))


# Check values of SplitMix64 (Steele, Lea & Flood 2014) as they circulate with implementations of
# it; quoted from memory.
VECTORS = {
    0: [0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F],
    1234567: [6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431],
}


@pytest.mark.parametrize("seed", VECTORS)
def test_random_numbers_are_those_of_the_published_generator(seed: int, instance: Instance) -> None:
    instance.call("splitmixState", seed)
    drawn = [instance.call("splitmixNext") & slow_numbers.MASK for _ in VECTORS[seed]]
    assert drawn == VECTORS[seed]
    stream = slow_numbers.Stream()
    stream.state = seed
    assert [stream.next() for _ in VECTORS[seed]] == VECTORS[seed]
