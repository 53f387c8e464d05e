"""What a quote says beside the stones: agreed for one costume, and kept with its job."""

from datetime import date
from typing import Annotated

from pydantic import Field, Strict

from planner.catalogue.fields import Part, as_pairs, quantity, text
from planner.catalogue.money import Amount

Name = Annotated[str, text("the name of a charge", most=60)]


class Quote(Part):
    """The maker's side of a price; the stones' comes from offers."""

    hours: Annotated[float, quantity("a time", "h", least=0.0, most=10_000.0)] | None = None
    """Hours of work, h; the usual time to set the stones when not given."""

    charges: Annotated[tuple[tuple[Name, Amount], ...], as_pairs("charges"), Field(max_length=20)] = ()
    """Other charges by name; in a file ``charges = { fitting = 40 }``."""

    not_known: Annotated[tuple[Name, ...], Field(max_length=20)] = ()
    """Charges that will come and whose amount nobody knows yet: named beside the total, and not in it."""

    margin: Annotated[float, quantity("a margin", least=0.0, most=5.0)] = 0.0
    """On top of stones, work and charges, as a share of them."""

    deposit: Annotated[float, quantity("a deposit", least=0.0, most=1.0)] = 0.0
    """Share of the total that is due before work begins, 0 to 1."""

    valid_until: Annotated[date, Strict()] | None = None
    """Last day on which the quote holds."""
