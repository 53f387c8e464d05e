"""A person's own entries, told: what was kept, changed or removed, and what was taken for granted."""

from collections.abc import Sequence

from planner.catalogue.fields import Entry
from planner.catalogue.own import Step
from planner.catalogue.palette_file import entry_data, kind_of
from planner.catalogue.stone import Stone
from planner.say.document import Command, Document, Item, Patch, Patches, Section, Sentence, document, section

_DONE = {
    "add": "Kept", "copy": "Copied", "change": "Changed", "rename": "Renamed", "remove": "Removed",
}  # fmt: skip


def step_told(what: str, step: Step, remarks: Sequence[str] = (), colour: str | None = None) -> Document:
    """Return what was done to an entry.

    Parameters
    ----------
    what
        A key of the verbs: add, copy, change, rename or remove.
    step
        What was done.
    remarks
        What was taken for granted or could not be.
    colour
        "#rrggbb" to show beside it.

    """
    entry, kind = step.entry, kind_of(step.entry)
    said = f"{_DONE[what]}: {entry.name}, a {kind} ({entry.id}), in {step.after.path}."
    return document(
        "",
        [
            Patches((Patch(entry.name, colour),)) if colour else None,
            Sentence(said),
            section("What was understood", [Item(one) for one in remarks]),
            None if what == "remove" else Section("Next", _next(entry, kind)),
        ],
        {
            "schema": "planner own 1", "done": what, "kind": kind, "entry": entry_data(entry),
            "file": str(step.after.path), "remarks": list(remarks),
        },
    )  # fmt: skip


def _next(entry: Entry, kind: str) -> tuple[Sentence | Command, ...]:
    options = {f"--{kind}": entry.id}
    if isinstance(entry, Stone):
        options["--size"] = entry.sizes[len(entry.sizes) // 2]
    if kind != "swatch":
        options["--swatch"] = "COLOUR"
    if kind != "venue":
        options["--venue"] = "VENUE"
    return Sentence("See what it reads as:"), Command("try", options)
