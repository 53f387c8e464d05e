"""Lines, areas and jobs for the tests of covering."""

from planner.job import Area, Job, Line

LINES = {
    "body": Line(stone="pulley-blue", size="SS20", name="body"),
    "fill": Line(stone="tackle-clear", size="SS12", name="fill"),
    "fine": Line(stone="grommet-clear", size="SS6", name="fine"),
    "bold": Line(stone="tackle-clear", coating="bobbin-aurora", size="SS34", name="bold"),
}
SHAPES = {
    "surface": {"surface_cm2": 200},
    "rectangle": {"width_cm": 20, "height_cm": 12},
    "triangle": {"width_cm": 15, "height_cm": 20},
    "circle": {"width_cm": 14},
    "band": {"length_cm": 60, "width_cm": 4},
    "sleeve": {"top_around_cm": 30, "bottom_around_cm": 18, "length_cm": 20},
}
PATTERNS = {
    "single line": {},
    "double line": {},
    "scatter": {"spacing_mm": 7},
    "gradient": {"spacing_mm": 5, "end_spacing_mm": 20},
    "full": {},
}


def area(shape, pattern, mix=(("body", 2.0), ("fill", 1.0)), **more):
    fields = {"name": "x", "shape": shape, "pattern": pattern, "mix": tuple(mix)}
    return Area(**(fields | SHAPES[shape] | PATTERNS[pattern] | more))


def lines_of(one):
    return tuple(LINES[name] for name, _ in one.mix)


def job(*areas, **more):
    named = tuple(one.model_copy(update={"name": f"area {n}"}) for n, one in enumerate(areas))
    fields = {"title": "x", "swatch": "#204080", "venues": ("rink",)}
    return Job(**(fields | {"lines": tuple(LINES.values()), "areas": named} | more))
