"""Names for the array types that steps hand to each other; shapes stand in each docstring."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
