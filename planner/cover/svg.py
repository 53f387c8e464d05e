"""An outline of a maker's own, from an SVG file: its paths by their ids, and nothing else of it.

The file may be a stranger's. It is read without a document type, so no entity is ever made; nothing in it
is run, nothing it names is opened, and its size, depth and number of paths are bounded.
"""

from pathlib import Path
from xml.parsers import expat

from planner.catalogue.files import read_bytes
from planner.refusal import Refusal

MOST_BYTES = 2_000_000
"""Of a file."""

MOST_PATHS = 200
"""Parts and lines of one outline."""

_MOST_DEPTH = 60
_PASSED = {
    "svg", "g", "path", "title", "desc", "metadata", "defs", "style", "namedview", "grid", "page", "rdf",
    "work", "format", "type", "guide", "perspective", "path-effect",
}  # fmt: skip
"""Elements that a drawing program writes; those without paths are passed over."""


def paths(file: Path) -> dict[str, str]:
    """Return the path data of an SVG file by the ids of its paths, in the file's order.

    Raises
    ------
    Refusal
        One sentence that names the file, and the line where there is one.

    """
    data = read_bytes(file, MOST_BYTES)
    found = _Found(file)
    try:
        found.parser.Parse(data, True)
    except expat.ExpatError as problem:
        raise Refusal(
            f"{file}, line {problem.lineno}: this is no SVG ({expat.ErrorString(problem.code)})."
        ) from None
    if not found.paths:
        raise Refusal(f"{file}: found no path; each part of an outline is a path with an id.")
    return found.paths


class _Found:
    """What a file holds, as it is read."""

    def __init__(self, file: Path) -> None:
        self.file, self.paths, self.depth = file, dict[str, str](), 0
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self.begin
        self.parser.EndElementHandler = self.end
        self.parser.StartDoctypeDeclHandler = self.doctype
        self.parser.EntityDeclHandler = self.doctype

    def refuse(self, what: str) -> Refusal:
        return Refusal(f"{self.file}, line {self.parser.CurrentLineNumber}: {what}.")

    def doctype(self, *_: object) -> None:
        raise self.refuse("found a document type or an entity; save it as plain SVG without one")

    def begin(self, name: str, given: dict[str, str]) -> None:
        self.depth += 1
        if self.depth > _MOST_DEPTH:
            raise self.refuse(f"found elements over {_MOST_DEPTH} deep")
        kind = name.rpartition(":")[2].lower()
        if self.depth == 1 and kind != "svg":
            raise self.refuse(f"found <{name[:40]}>; an SVG file begins with <svg>")
        if kind not in _PASSED:
            raise self.refuse(f"found <{name[:40]}>; an outline has paths alone, so turn shapes into paths")
        if "transform" in given and kind in {"g", "path"}:
            raise self.refuse("found a transform; flatten it, so that a unit is a millimetre everywhere")
        if kind == "path":
            self.path(given)

    def path(self, given: dict[str, str]) -> None:
        name, data = given.get("id", "").strip(), given.get("d", "").strip()
        if not name or not data:
            raise self.refuse("found a path without an id or without data; its id is the name of the part")
        if name in self.paths or len(name) > 60:
            raise self.refuse(f'found the id "{name[:60]}" twice, or longer than 60 letters')
        if len(self.paths) >= MOST_PATHS:
            raise self.refuse(f"found over {MOST_PATHS} paths")
        self.paths[name] = data

    def end(self, _: str) -> None:
        self.depth -= 1
