"""What to be careful of with a job: its wearer first, then how stones are fixed and where they may fall.

The wearer's cautions come before price. Small parts and lead for a child under 3 cannot be accepted away:
nobody's reason makes a stone too large to swallow. Lead for a child of 12 or younger can be accepted, by
name and with a reason, because rules differ (some exempt crystal glass) and a costume out of reach for all
but its four minutes is another thing than a toy; the caution is still told.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from planner.catalogue.errors import cut_short
from planner.catalogue.palette import Palette
from planner.catalogue.sizes import size
from planner.catalogue.stone import Stone
from planner.fixing.practice import SMALL_PARTS_MM, practice, suits, titles
from planner.job.model import Acceptance, Job, Line

Severity: TypeAlias = Literal["severe", "caution", "note"]

SEVERITIES: Final[tuple[Severity, ...]] = ("severe", "caution", "note")
"""Gravest first."""

WEARER: Final = (
    "small-parts-under-3", "lead-under-3", "lead-12-or-younger", "ask-lead-and-cadmium",
    "small-parts-12-or-younger", "lead-touched", "lead-handled", "cadmium-handled",
)  # fmt: skip
"""Codes that concern who wears or handles the garment, in the order in which equals are told."""

FINAL: Final = frozenset({"small-parts-under-3", "lead-under-3"})
"""Codes that no acceptance lifts."""

CODES: Final = (
    *WEARER, "shed-above-people", "load-bearing", "cloth-melts", "stone-softens", "solvent-acrylic",
    "solvent-glue", "hot-tool", "hot-fumes", "stretches", "shed-on-ice", "shed-on-floor", "flame-rules",
    "washed", "solvent-foil", "no-foil", "touched", "flashing-light", "scrap-first", "rules-first",
)  # fmt: skip
"""Every code, in the order in which equals are told."""


ALWAYS: Final = ("load-bearing", "flame-rules", "flashing-light", "scrap-first", "rules-first")
"""Codes told of every job that has a stone: no field of a job says whether a harness is worn under it."""


@dataclass(frozen=True)
class Caution:
    """One thing to be careful of."""

    code: str
    """One of `CODES`."""

    severity: Severity

    text: str
    """What is the matter, one plain sentence."""

    do: str
    """What to do about it."""

    lines: tuple[int, ...] = ()
    """Numbers, from 1, of the job's lines that it is about; none where it is about the whole job."""

    @property
    def final(self) -> bool:
        """Whether it stands whoever accepts it."""
        return self.code in FINAL


def cautions(job: Job, palette: Palette) -> tuple[Caution, ...]:
    """Return all that is to be careful of with a job, gravest first; lines of unknown stones say nothing."""
    known = _known(job, palette)
    found = [*_of_wearer(job, known), *_of_fixing(job, known), *_of_use(job)]
    if known:
        found += map(_caution, ALWAYS)
    return tuple(sorted(found, key=lambda one: (SEVERITIES.index(one.severity), CODES.index(one.code))))


def wearer_cautions(job: Job, palette: Palette) -> tuple[Caution, ...]:
    """Return those of `cautions` that concern who wears or handles the garment, gravest first."""
    return tuple(one for one in cautions(job, palette) if one.code in WEARER)


def accepting(caution: Caution, line: Line) -> Acceptance | None:
    """Return who accepts a caution for a line; None where nobody does, or where nobody can."""
    if caution.final:
        return None
    return next((one for one in reversed(line.accept) if one.code == caution.code), None)


@dataclass(frozen=True)
class _Known:
    """A line whose stone is in the palette."""

    number: int
    line: Line
    stone: Stone

    @property
    def holds_cadmium(self) -> bool:
        return any(name.startswith("cadmium") for name in self.stone.colourants or ())

    @property
    def small(self) -> bool:
        return size(self.line.size).nominal_mm < SMALL_PARTS_MM


_Rule: TypeAlias = Callable[[_Known], bool]


def _known(job: Job, palette: Palette) -> tuple[_Known, ...]:
    return tuple(
        _Known(number, line, palette.stones[line.stone])
        for number, line in enumerate(job.lines, 1)
        if line.stone in palette.stones
    )


def _of_wearer(job: Job, known: Sequence[_Known]) -> list[Caution]:
    lead: _Rule = lambda one: one.stone.material == "lead crystal"  # noqa: E731 - the rules in one view
    may_hold: _Rule = lambda one: one.stone.material != "lead crystal"  # noqa: E731 - as above
    cadmium: _Rule = lambda one: one.holds_cadmium  # noqa: E731 - as above
    small: _Rule = lambda one: one.small  # noqa: E731 - as above
    if job.wearer == "under 3":
        rules = {"small-parts-under-3": small, "lead-under-3": lead, "ask-lead-and-cadmium": may_hold}
    elif job.wearer == "12 or younger":
        rules = {
            "small-parts-12-or-younger": small,
            "lead-12-or-younger": lead,
            "ask-lead-and-cadmium": may_hold,
        }
    else:
        rules = {"lead-touched" if "touch" in job.use else "lead-handled": lead, "cadmium-handled": cadmium}
    return _about(known, rules)


def _of_fixing(job: Job, known: Sequence[_Known]) -> list[Caution]:
    if not known:
        return []
    acrylic: _Rule = lambda one: one.stone.material == "acrylic"  # noqa: E731 - the rules in one view
    foiled: _Rule = lambda one: one.stone.foil != "none" and not one.stone.opaque  # noqa: E731 - as above
    bare: _Rule = lambda one: one.stone.foil == "none" and not one.stone.opaque  # noqa: E731 - as above
    if job.fixing == "glue":
        found = [_caution("solvent-glue")]
        found += _about(known, {"solvent-acrylic": acrylic, "solvent-foil": foiled, "no-foil": bare})
    else:
        found = [_caution("hot-tool"), _caution("hot-fumes"), *_about(known, {"stone-softens": acrylic})]
        if suits("hot-fix", job.fibre)[0] != "yes":
            found.append(_caution("cloth-melts", fibre=job.fibre))
    if any(area.stretch > 1.0 or area.stretch_down > 1.0 for area in job.areas) or job.fibre == "elastane":
        found.append(_caution("stretches"))
    return found


def _of_use(job: Job) -> list[Caution]:
    codes = {
        "ice": "shed-on-ice", "floor": "shed-on-floor", "wash": "washed", "touch": "touched",
        "above people": "shed-above-people",
    }  # fmt: skip
    return [_caution(codes[use]) for use in job.use] if job.lines else []


def _about(known: Sequence[_Known], rules: dict[str, _Rule]) -> list[Caution]:
    """Return one caution for each rule that holds for some lines."""
    found = []
    for code, holds in rules.items():
        if lines := [one for one in known if holds(one)]:
            names = dict.fromkeys(one.stone.name for one in lines)
            found.append(_caution(code, tuple(one.number for one in lines), stones=_listed([*names])))
    return found


def _caution(code: str, lines: tuple[int, ...] = (), **words: str) -> Caution:
    entry = practice()["caution"][code]
    words["cylinder"] = f"{SMALL_PARTS_MM:g}"
    words["rules"] = titles("small parts" if code.startswith("small-parts") else "lead")
    if "cadmium" in code:
        words["rules"] += "; " + titles("cadmium")
    return Caution(code, entry["severity"], entry["text"].format(**words), entry["do"].format(**words), lines)


def _listed(names: Sequence[str]) -> str:
    shown, more = cut_short(names, 6)
    if more:
        return f"{', '.join(shown)} {more}"
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
