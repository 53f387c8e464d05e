"""Sets a brief with the one template: tagged PDF (PDF/UA-1 and PDF/A-2a, colours as sRGB), or pixels.

The template and its pictures lie in a temporary folder for the time of it, out of which nothing is read;
fonts are typst's own and those in ``shared/brief/fonts``. Data goes in as JSON.
"""

import json
import re
import shutil
from collections.abc import Mapping
from contextlib import ExitStack
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import Any, Final, Self

from PIL import Image

from planner.data import shared

STANDARDS: Final = ("ua-1", "a-2a")
"""Tagged for screen readers (ISO 14289-1), and for keeping (ISO 19005-2) with an output intent."""

MISSING: Final = "\N{WHITE VERTICAL RECTANGLE}"
"""What stands for a letter that no font here has."""

PPI = 150.0
"""Pixels to the inch of a picture for messages."""

_SUSPECTS: Final = b"/Suspects false"
"""Says that no tag is doubtful, which is so where nothing is said (ISO 32000-1, table 321). Readers built on
poppler take it for an error, so it is left out; blanks in its place keep every offset in the file."""

_NO_GLYPH = re.compile(r"the text `(\".*?\")` could not be displayed", re.DOTALL)
_ROUNDS = 20
"""Most times that letters are replaced; each round takes all that the typesetter names."""


class Setter:
    """A folder with template and pictures; leave it by ``with``.

    Compiling again with other data is quick: the typesetter keeps what stayed alike.
    """

    def __init__(self, pictures: Mapping[str, bytes], template: str = "brief.typ") -> None:
        """Take the pictures by the names that the data calls them by."""
        self._pictures, self._template = pictures, template
        self._open = ExitStack()

    def __enter__(self) -> Self:
        """Make the folder.

        Raises
        ------
        OSError
            If nothing can be written in the system's temporary folder.

        """
        import typst

        self._typst = typst
        with ExitStack() as stack:
            folder = Path(stack.enter_context(TemporaryDirectory(prefix="brief-")))
            shutil.copyfile(shared("brief") / self._template, folder / "brief.typ")
            for name, data in self._pictures.items():
                (folder / name).write_bytes(data)
            self._open = stack.pop_all()
        fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=True, font_paths=[shared("brief") / "fonts"]
        )
        self._compiler = typst.Compiler(
            folder / "brief.typ", root=folder, font_paths=fonts, ignore_system_fonts=True
        )
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Remove the folder."""
        self._open.close()

    def pdf(self, data: Mapping[str, Any]) -> bytes:
        """Return the PDF; every letter must be in some font (`printable`)."""
        return self._compile(data, "pdf")[0].replace(_SUSPECTS, b" " * len(_SUSPECTS))

    def pages(self, data: Mapping[str, Any], ppi: float = PPI) -> tuple[Image.Image, ...]:
        """Return every page as an RGB image."""
        return tuple(Image.open(BytesIO(page)).convert("RGB") for page in self._compile(data, "png", ppi=ppi))

    def count(self, data: Mapping[str, Any]) -> int:
        """Return how many pages it has."""
        return len(self._compile(data, "png", ppi=8.0))

    def printable(self, data: dict[str, Any]) -> tuple[dict[str, Any], str]:
        """Return data with every letter that no font has replaced, and those letters."""
        gone = ""
        for _ in range(_ROUNDS):
            try:
                self._compile(data, "pdf")
            except self._typst.TypstError as problem:
                found = "".join(_letters(f"{problem.message}\n{problem.diagnostic}"))
                if not found:
                    raise
                gone += found
                data = _without(data, found)
            else:
                break
        return data, "".join(dict.fromkeys(gone))

    def _compile(self, data: Mapping[str, Any], form: Any, ppi: float | None = None) -> list[bytes]:
        made = self._compiler.compile(
            format=form, ppi=ppi, sys_inputs={"data": json.dumps(data)},
            pdf_standards=list(STANDARDS) if form == "pdf" else [],
        )  # fmt: skip
        return [bytes(one) for one in made] if isinstance(made, list) else [bytes(made or b"")]


def _letters(diagnostic: str) -> list[str]:
    """Return the letters that a refusal names, each as the typesetter quotes them."""
    return [_unquoted(found) for found in _NO_GLYPH.findall(diagnostic)]


def _unquoted(text: str) -> str:
    inner = re.sub(r"\\u\{([0-9a-fA-F]+)\}", lambda found: chr(int(found[1], 16)), text[1:-1])
    return inner.replace('\\"', '"').replace("\\\\", "\\")


def _without(data: Any, letters: str) -> Any:
    """Return plain data with letters replaced in every text."""
    if isinstance(data, str):
        return data.translate({ord(letter): MISSING for letter in letters})
    if isinstance(data, dict):
        return {key: _without(value, letters) for key, value in data.items()}
    return [_without(one, letters) for one in data] if isinstance(data, list) else data
