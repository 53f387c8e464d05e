"""What a photographed card says, in words."""

from textual.content import Content

from planner.app.depth import Depth, hex_shown
from planner.app.samples.worker import Answer, Came, Card
from planner.catalogue.palette import Palette
from planner.colour.names import name_of
from planner.colour.screen import lab_to_srgb, to_hex
from planner.fitting.coating import nearest_off
from planner.fitting.foresee import LEAST_GAIN
from planner.fitting.photo.marked import Read

_MOST = 4
"""Kinds of film that are told."""


def said(answer: Answer, palette: Palette, depth: Depth) -> Content:
    """Return an answer in words: what was seen, then what it means."""
    means = _card(answer, palette) if isinstance(answer, Card) else _came(answer)
    notes = [Content.styled(one, "$text-warning") for one in answer.read.notes]
    return Content("\n").join([*_seen(answer.read, palette, depth), *means, *notes])


def _seen(read: Read, palette: Palette, depth: Depth) -> list[Content]:
    lines = []
    for stone, kind in read.kinds.items():
        if kind.seen.lab is None:
            continue
        hex_ = to_hex(lab_to_srgb(kind.seen.lab)[0])
        patch = (
            Content("") if depth == "grey" else Content.styled("   ", f"on {hex_shown(hex_, depth)}") + " "
        )
        name = palette.stones[stone].name
        many = f"{kind.stones} stone{'s' if kind.stones > 1 else ''}"
        lines.append(patch + f"{name}: {name_of(kind.seen.lab)}, known to ±{kind.seen.error:.0f}, {many}")
    return lines


def _card(card: Card, palette: Palette) -> list[Content]:
    fitted = card.fitted
    if not fitted.fits:
        lead = (
            f"No film gives just these colours: the nearest is off by ΔE00 {nearest_off(fitted):.0f}, and "
            "what is kept is as wide. Look whether each stone is named rightly. The nearest:"
        )
    else:
        kinds = len(fitted.orders)
        lead = f"{len(fitted.kept)} films fit, {'all much alike' if kinds == 1 else f'of {kinds} kinds'}:"
    lines = [Content.styled(lead, "bold" if fitted.fits else "bold $text-error")]
    lines += [
        Content(
            f" {_share(one.share)} in 100: {one.nm:.0f} nm of {one.material} "
            f"({one.range_nm[0]:.0f} to {one.range_nm[1]:.0f}), evenness {one.evenness:.1f} "
            f"± {one.evenness_spread:.1f}"
        )
        for one in fitted.orders[:_MOST]
    ]
    if card.telling and card.telling[0].bits >= LEAST_GAIN:
        name = palette.stones[card.telling[0].placed.stone.id].name
        lines.append(Content(f"A sample on {name} would tell most about which it is."))
    return lines


def _share(share: float) -> str:
    return "under 1" if share < 0.01 else f"{100 * share:.0f}"


def _came(came: Came) -> list[Content]:
    arrived = came.arrived
    verdict = "as expected" if arrived.expected else "further off than nine batches in ten"
    return [
        Content.styled(f"It is {arrived.apart.words}: ΔE00 {arrived.apart.dE00:.0f}, {verdict}.", "bold"),
        Content(
            f"Predicted: {arrived.reading.seen.name}; within ΔE00 {arrived.within:.0f} was told, the "
            "photograph's own error included."
        ),
    ]
