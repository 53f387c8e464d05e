"""An offer: one pack of stones as a seller puts it up, in the words and the money of the seller."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from planner.catalogue.stone import Material
from planner.order.heard import Guess

ROUND = "round"
"""The shape of a stone whose reading the planner computes; any other is priced, and read approximately."""


@dataclass(frozen=True)
class Offer:
    """One row of a file of offers: one pack. Money is as written, in `currency`; None means "not said"."""

    row: int
    """Row of its file, from 1; the header counts, so this is what a spreadsheet shows."""

    seller: str
    """Who sells it."""

    title: str
    """The title as advertised; empty where none is given."""

    count: int
    """Stones in the pack, at least 1."""

    price: Decimal
    """Price of the pack, without anything else."""

    currency: str
    """ISO 4217 code that every amount of this row is in."""

    material: Material | None = None
    """What the seller claims the stones are made of."""

    size: str | None = None
    """Stone size, such as ``SS20``; None where no size is named and the millimetres fit none."""

    size_from_mm: bool = False
    """Whether `size` was found from the millimetres, because the row names none."""

    mm: float | None = None
    """Diameter, or the longer side of a shape that is not round, mm."""

    mm_across: float | None = None
    """The shorter side of a shape that is not round, mm."""

    shape: str = ROUND
    """``round``, or the shape as written."""

    colour: str = ""
    """Colour as written."""

    coating: str = ""
    """Coating as written; empty where none is named."""

    former_price: Decimal | None = None
    """Crossed-out price that the seller shows beside it."""

    shipping: Decimal | None = None
    """Shipping of one delivery from this seller, however many packs; 0 is free."""

    duty: Decimal | None = None
    """Duty on one pack; 0 where there is none."""

    tax: Decimal | None = None
    """Tax on one pack that the price leaves out; 0 where the price has it."""

    handling: Decimal | None = None
    """What the carrier charges for handling duty and tax, once for a delivery; 0 where there is none."""

    available: int | None = None
    """Packs that the seller has; None where that is not said."""

    returns: int | None = None
    """Days in which a pack may go back; 0 is no returns."""

    delivery_days: int | None = None
    """Days from the order to the door."""

    until: date | None = None
    """Last day on which the offer holds."""

    note: str = ""
    """Anything the person noted."""

    stone_id: str | None = None
    """Id of the stone in the palette that `colour` was matched to."""

    coating_id: str | None = None
    """Id of the coating in the palette that `coating` was matched to, or ``none``."""

    suggestions: tuple[str, ...] = ()
    """Ids that may be meant where stone or coating was not matched."""

    guesses: tuple[Guess, ...] = ()
    """What its words are likely to mean, where that is to be confirmed first."""

    about: bool = False
    """Whether `count` is said to be about right only."""

    unread: tuple[str, ...] = ()
    """Columns in which something stands that was not understood; it counts as not said."""

    @property
    def pairing(self) -> tuple[str, str, str] | None:
        """Stone id, coating id and size, if all three are known and the stone is round."""
        return self._pairing(self.stone_id, self.coating_id)

    @property
    def likely_pairing(self) -> tuple[str, str, str] | None:
        """The same, with what its words are likely to mean where that is not confirmed."""
        likely = {one.kind: one.means for one in self.guesses}
        return self._pairing(self.stone_id or likely.get("stone"), self.coating_id or likely.get("coating"))

    def _pairing(self, stone: str | None, coating: str | None) -> tuple[str, str, str] | None:
        if stone is None or coating is None or self.size is None or self.shape != ROUND:
            return None
        return stone, coating, self.size
