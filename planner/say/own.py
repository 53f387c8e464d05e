"""A person's own entries, told: what was kept, changed or removed, and what was taken for granted."""

from collections.abc import Sequence

from planner.catalogue.coating import NONE
from planner.catalogue.fields import Entry
from planner.catalogue.own import Step
from planner.catalogue.palette_file import entry_data, kind_of
from planner.catalogue.stone import Stone
from planner.say.document import Command, Document, Item, Patch, Patches, Section, Sentence, document, section
from planner.say.question import understood

_DONE = {
    "add": "Kept", "copy": "Copied", "change": "Changed", "rename": "Renamed", "remove": "Removed",
}  # fmt: skip


def step_told(
    what: str, step: Step, remarks: Sequence[str] = (), heard: Sequence[tuple[str, str]] = (),
) -> Document:  # fmt: skip
    """Return what was done to an entry.

    Parameters
    ----------
    what
        A key of the verbs: add, copy, change, rename or remove.
    step
        What was done.
    remarks
        What was taken for granted or could not be.
    heard
        What a guessed name of a colour was taken as, then what else it may be, each with "#rrggbb".

    """
    entry, kind = step.entry, kind_of(step.entry)
    colour = entry.colour if isinstance(entry, Stone) and what == "add" else None
    said = f"{_DONE[what]}: {entry.name}, a {kind} ({entry.id}), in {step.after.path}."
    return document(
        "",
        [
            Patches((Patch(entry.name, colour),)) if colour else None,
            Sentence(said),
            section("What was understood", [*map(Item, remarks), *understood((), heard)]),
            None if what == "remove" else Section("Next", _next(entry, kind)),
        ],
        {
            "schema": "planner own 1", "done": what, "kind": kind, "entry": entry_data(entry),
            "file": str(step.after.path), "remarks": list(remarks),
        },
    )  # fmt: skip


def _next(entry: Entry, kind: str) -> tuple[Sentence | Command, ...]:
    if kind == "cut":
        return Sentence("Give it to a stone of yours:"), Command(
            "stone add NAME", {"--sizes": "SIZES", "--cut": entry.id}
        )
    options = {
        "--stone": "STONE", "--coating": NONE if kind == "stone" else "COATING", "--size": "SIZE",
        "--swatch": "COLOUR", "--venue": "VENUE",
    }  # fmt: skip
    options[f"--{kind}"] = entry.id
    if isinstance(entry, Stone):
        options["--size"] = entry.sizes[len(entry.sizes) // 2]
    return Sentence("See what it will look like:"), Command("try", options)
