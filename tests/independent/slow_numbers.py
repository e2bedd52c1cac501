"""exp, log and random streams of the kernel in plain Python, operation for operation."""

from __future__ import annotations

import math
import struct

MASK = (1 << 64) - 1
GOLDEN = 0x9E3779B97F4A7C15
LN2_HIGH = 6.93147180369123816490e-01
LN2_LOW = 1.90821492927058770002e-10
INVERSE_LN2 = 1.44269504088896338700
SQRT2 = 1.41421356237309514547
TINY = 1e-300
FACTORIALS = [math.factorial(n) for n in range(13, 2, -1)]


def exp(x: float) -> float:
    if x != x:
        return x
    if x > 709.0:
        return math.inf
    if x < -708.0:
        return 0.0
    k = float(math.floor(x * INVERSE_LN2 + 0.5))
    r = x - k * LN2_HIGH - k * LN2_LOW
    q = 1.0 / FACTORIALS[0]
    for factorial in FACTORIALS[1:]:
        q = q * r + 1.0 / factorial
    q = q * r + 0.5
    value = 1.0 + (r + r * r * q)
    return value * struct.unpack("<d", struct.pack("<q", (int(k) + 1023) << 52))[0]


def log(x: float) -> float:
    if x != x:
        return x
    if x <= 0.0:
        return -math.inf
    if x == math.inf:
        return x
    exponent = 0.0
    if x < 2.2250738585072014e-308:
        x = x * 18014398509481984.0
        exponent = -54.0
    bits = struct.unpack("<Q", struct.pack("<d", x))[0]
    exponent = exponent + float((bits >> 52) - 1023)
    m = struct.unpack("<d", struct.pack("<Q", (bits & ((1 << 52) - 1)) | (1023 << 52)))[0]
    if m > SQRT2:
        m = m * 0.5
        exponent = exponent + 1.0
    f = m - 1.0
    s = f / (2.0 + f)
    z = s * s
    r = 2.0 / 23.0
    for odd in range(21, 2, -2):
        r = r * z + 2.0 / odd
    r = r * z
    return exponent * LN2_HIGH - (s * (f - r) - exponent * LN2_LOW - f)


def log_likelihood_of(x: float) -> float:
    return log(x if x > TINY else TINY)


def mix(z: int) -> int:
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
    return z ^ (z >> 31)


def fold(value: int, field: int) -> int:
    return mix(((value ^ field) + GOLDEN) & MASK)


class Stream:
    """One random stream, named by the work it is for."""

    def __init__(self, *names: int) -> None:
        self.state = 0
        for name in names:
            self.state = fold(self.state, name)

    def next(self) -> int:
        self.state = (self.state + GOLDEN) & MASK
        return mix(self.state)

    def uniform(self) -> float:
        return (self.next() >> 11) * (1.0 / 9007199254740992.0)
