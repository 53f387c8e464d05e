"""Names for the kinds of array that optics passes on; shapes stand in the docstrings."""

from typing import Any, TypeAlias

from numpy.typing import NDArray

# Single precision carries beams and factors, double everything else; both pass here.
Floats: TypeAlias = NDArray[Any]
Ints: TypeAlias = NDArray[Any]
