"""An area of the garment: its shape, its pattern of stones, and which pairings it takes."""

from collections.abc import Mapping
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from planner.catalogue.fields import Flag, Part, as_pairs, identifier, quantity, text, whole
from planner.optics.lean import Lean
from planner.refusal import InvalidValue, show

Shape = Literal["surface", "rectangle", "triangle", "circle", "band", "sleeve"]
"""surface: square centimetres as given; band: along a seam; sleeve: the mantle of a cone frustum."""

Pattern = Literal["single line", "double line", "scatter", "gradient", "full", "motif"]
"""How the stones lie."""

MEASURES: Mapping[Shape, tuple[str, ...]] = {
    "surface": ("surface_cm2",),
    "rectangle": ("width_cm", "height_cm"),
    "triangle": ("width_cm", "height_cm"),
    "circle": ("width_cm",),
    "band": ("length_cm", "width_cm"),
    "sleeve": ("top_around_cm", "bottom_around_cm", "length_cm"),
}
"""Which measures each shape is given by. A circle's width is its diameter; a triangle's height stands on
its width; a sleeve's length runs along its slope."""

SPACINGS: Mapping[Pattern, tuple[str, ...]] = {
    "single line": (),
    "double line": (),
    "scatter": ("spacing_mm",),
    "gradient": ("spacing_mm", "end_spacing_mm"),
    "full": (),
    "motif": (),
}
"""Which spacings each pattern must be given; lines may be given `spacing_mm`."""

_ALL_MEASURES = tuple(dict.fromkeys(name for names in MEASURES.values() for name in names))

Centimetres = Annotated[float, quantity("a measure", "cm", above=0.0, most=2000.0)] | None
Spacing = Annotated[float, quantity("a spacing", "mm", above=0.0, most=1000.0)] | None
Share = Annotated[float, quantity("a share", least=0.0, most=1.0)]
Stretch = Annotated[float, quantity("a stretch", least=1.0, most=3.0)]


class Area(Part):
    """One area of the garment that stones go on. Measures are of the cloth laid flat."""

    name: Annotated[str, text("the name of an area", most=60)]
    """What it is called; each area of a job has its own name."""

    shape: Shape
    """Its shape; see `MEASURES` for what each is given by."""

    surface_cm2: Annotated[float, quantity("a surface", "cm²", above=0.0, most=1e6)] | None = None
    """Of a surface: cm²."""

    width_cm: Centimetres = None
    """Width, cm, above 0 and at most 2000; a circle's diameter. A band that only takes lines needs none."""

    height_cm: Centimetres = None
    """Height, cm."""

    length_cm: Centimetres = None
    """Length of a band or of a sleeve, cm."""

    top_around_cm: Centimetres = None
    """All round a sleeve at its upper end, cm."""

    bottom_around_cm: Centimetres = None
    """All round a sleeve at its lower end, cm."""

    times: Annotated[int, whole("how many times an area occurs", 1, 1000)] = 1
    """How many such areas there are (two sleeves, six waistcoats), or motifs."""

    stretch: Stretch = 1.0
    """Worn width over width laid flat, 1 to 3; stones are counted for the worn, stretched cloth. A band
    stretches along its length."""

    stretch_down: Stretch = 1.0
    """Worn height over height laid flat, 1 to 3."""

    pattern: Pattern
    """How the stones lie."""

    lean: Lean | None = None
    """Where it is on the body: "flat front", "round the body" or "swinging" (a skirt, a fringe)."""

    spacing_mm: Spacing = None
    """Centre to centre, mm; of a gradient, at its dense end. Lines sit edge to edge but for a gap when not
    given."""

    end_spacing_mm: Spacing = None
    """Of a gradient: centre to centre at its sparse end, mm."""

    mix: Annotated[
        tuple[
            tuple[
                Annotated[str, identifier("the name of a line")],
                Annotated[float, quantity("a part of a mix", above=0.0, most=10_000.0)],
            ],
            ...,
        ],
        as_pairs("a mix"),
        Field(min_length=1, max_length=20, examples=["mix = { body = 7, trim = 3 }, by the lines' names"]),
    ]
    """Names of the job's lines, each with its parts by number of stones; of a motif, how many stones of
    each it has. In a file a table: ``mix = { body = 7, trim = 3 }``."""

    run: Flag = False
    """Whether the lines of its mix follow one another, as in an ombre, and are not strewn: along a row, or
    down the area from the dense end of its gradient; each goes over into the next."""

    part: Annotated[str, text("the name of a part", most=60)] | None = None
    """Part of the job's outline that it lies on, or the line of it that a band follows."""

    place: tuple[Share, Share] = (0.5, 0.5)
    """Where on that part: the share of the free room that is left of it, and above it, 0 to 1."""

    turned: Annotated[float, quantity("a turn", "degrees", least=-180.0, most=180.0)] = 0.0
    """How far it is turned there, degrees clockwise."""

    @model_validator(mode="after")
    def _shape_is_whole(self) -> Self:
        wanted = set(MEASURES[self.shape])
        given = {name for name in _ALL_MEASURES if getattr(self, name) is not None}
        if self.shape == "band" and self.pattern in {"single line", "double line", "motif"}:
            wanted -= {"width_cm"} - given
        if self.pattern == "motif" and not given:
            return self  # a motif is counted by the piece; the ground it lies on need not be known
        if given != wanted:
            raise InvalidValue(
                f"found {_listed(given)}; the shape {show(self.shape)} is given by {_listed(wanted)}"
            )
        if self.shape == "surface" and self.pattern in {"single line", "double line"}:
            raise InvalidValue(
                f"found a {self.pattern} on a surface; square centimetres have no edge to follow, so give "
                "the area as a band with its length"
            )
        return self

    @model_validator(mode="after")
    def _spacing_fits(self) -> Self:
        wanted = set(SPACINGS[self.pattern])
        given = {name for name in ("spacing_mm", "end_spacing_mm") if getattr(self, name) is not None}
        free = {"spacing_mm"} if "line" in self.pattern else set()
        if given - free != wanted - free:
            raise InvalidValue(
                f"found {_listed(given)}; the pattern {show(self.pattern)} takes {_listed(wanted | free)}"
            )
        if self.pattern == "gradient" and (self.end_spacing_mm or 0.0) < (self.spacing_mm or 0.0):
            raise InvalidValue(
                f"found {self.spacing_mm:g} mm at the dense end and {self.end_spacing_mm:g} mm at the sparse "
                "one; the sparse end must be spaced at least as wide"
            )
        return self

    @model_validator(mode="after")
    def _motif_is_whole(self) -> Self:
        for name, parts in self.mix:
            if self.pattern == "motif" and parts != int(parts):
                raise InvalidValue(f"found {parts:g} of {show(name)} in a motif; a motif has whole stones")
        return self


def _listed(names: set[str]) -> str:
    return ", ".join(sorted(names)) if names else "no measure"
