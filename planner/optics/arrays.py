"""Names for the kinds of array that optics passes on; shapes stand in the docstrings."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]
Ints = NDArray[np.integer[Any]]
