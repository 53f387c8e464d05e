"""An order as it would be placed: who sends what, when, for how much, and what it covers."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from planner.cover.need import Need
from planner.order.dates import Deadline
from planner.order.offer import Offer
from planner.order.packs import Delivery
from planner.order.stock import Taken

_NOTHING = Decimal("0.00")


@dataclass(frozen=True)
class OrderLine:
    """Packs of one offer."""

    offer: Offer

    name: str
    """The pairing and size it is for."""

    times: int
    """How many packs."""

    each: Decimal
    """One pack, landed but without shipping, in the money of the order."""

    sample: bool = False
    """Whether it is bought to be seen before the rest is ordered; its stones count all the same."""

    @property
    def price(self) -> Decimal:
        """All packs."""
        return self.each * self.times

    @property
    def stones(self) -> int:
        """Stones in all packs."""
        return self.offer.count * self.times


@dataclass(frozen=True)
class SellerOrder:
    """One delivery from one seller."""

    seller: str

    delivery: Delivery

    ordered: date | None
    """Day to order it; None where nobody says when its sample comes."""

    lines: tuple[OrderLine, ...]

    shipping: Decimal
    """Shipping and handling, once."""

    arrives: date | None
    """Day it is there; None where the seller does not say."""

    ask: tuple[str, ...]
    """What to ask the seller before ordering."""

    unsaid: tuple[str, ...] = ()
    """Charges that nobody says, and that are not in the price: of shipping, handling, duty, tax."""

    handling: bool = False
    """Whether handling is in `shipping`."""

    @property
    def carriage(self) -> str:
        """What `shipping` is called."""
        return "shipping and handling" if self.handling else "shipping"

    @property
    def carriage_unsaid(self) -> bool:
        """Whether `shipping` is nothing because nobody says what it costs, which is not for nothing."""
        return not self.shipping and "shipping" in self.unsaid

    @property
    def goods(self) -> Decimal:
        """All its packs."""
        return sum((one.price for one in self.lines), _NOTHING)


@dataclass(frozen=True)
class Covered:
    """One need, and what meets it."""

    need: Need

    name: str

    from_drawer: int
    """Stones taken from the drawer."""

    bought: int
    """Stones in the packs bought."""

    sellers: tuple[str, ...]
    """Who sends them."""

    @property
    def left_over(self) -> int:
        """Stones beyond worn and spare; negative where they do not suffice."""
        return self.from_drawer + self.bought - self.need.count


@dataclass(frozen=True)
class Silent:
    """What it would come to with sellers who do not state every charge: cheaper perhaps by saying nothing."""

    total: Decimal
    """Before what is not said."""

    unsaid: tuple[tuple[str, tuple[str, ...]], ...]
    """Each such seller with the charges that it does not state."""


@dataclass(frozen=True)
class OrderPlan:
    """The packs to buy. Nothing is bought by making it."""

    today: date

    due: Deadline

    currency: str

    budget: Decimal | None

    parcels: tuple[SellerOrder, ...]
    """What is ordered now first, by seller."""

    covers: tuple[Covered, ...]
    """In the order of the job's lines."""

    taken: tuple[Taken, ...]
    """From the drawer."""

    gap: Decimal
    """An order cheaper by more than this does not exist; 0 when it is proven to be the cheapest."""

    arrives: date | None
    """Day on which all is there; None where a seller does not say."""

    missing: tuple[str, ...] = ()
    """What nobody offers, a sentence each; the order is then not whole."""

    sample_note: str = ""
    """Why no sample comes first, where one is advised."""

    silent: Silent | None = None
    """The cheaper order that was not taken, because its sellers do not state every charge."""

    sample_extra: Decimal | None = None
    """What a sample first costs beyond ordering all at once; None where none comes first."""

    @property
    def unsaid(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each seller who does not state every charge, with what is therefore not in the price."""
        return tuple({one.seller: one.unsaid for one in self.parcels if one.unsaid}.items())

    @property
    def goods(self) -> Decimal:
        """All packs, without shipping."""
        return sum((one.goods for one in self.parcels), _NOTHING)

    @property
    def carriage(self) -> str:
        """What `shipping` is called."""
        return "shipping and handling" if any(one.handling for one in self.parcels) else "shipping"

    @property
    def carriage_unsaid(self) -> bool:
        """Whether that is so of all sellers."""
        return bool(self.parcels) and all(one.carriage_unsaid for one in self.parcels)

    @property
    def shipping(self) -> Decimal:
        """Shipping of all deliveries, with handling."""
        return sum((one.shipping for one in self.parcels), _NOTHING)

    @property
    def total(self) -> Decimal:
        """What it comes to."""
        return self.goods + self.shipping

    @property
    def days_to_spare(self) -> int | None:
        """Days between the last arrival and the day the stones are needed; None where one is not known."""
        if self.due.by is None or self.arrives is None:
            return None
        return (self.due.by - self.arrives).days

    @property
    def sample_first(self) -> bool:
        """Whether something is bought to be seen before the rest is ordered."""
        return any(line.sample for one in self.parcels for line in one.lines)
