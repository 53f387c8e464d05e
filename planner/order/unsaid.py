"""Which charges of a delivery its seller does not state: worked out here alone, whoever tells it."""

from collections.abc import Iterable, Sequence
from typing import Final

from planner.order.offer import Offer

OF_DELIVERY: Final = ("shipping", "handling")
"""Charges that count once for a delivery: one offer of its seller that states them is enough."""

OF_PACK: Final = ("duty", "tax")
"""Charges that count for each pack, so that every offer has to state its own."""

CHARGES: Final = ("shipping", "duty", "tax", "handling")
"""All of them, in the order in which they are told."""


def unsaid(packs: Iterable[Offer], seller: Iterable[Offer] | None = None) -> tuple[str, ...]:
    """Return which charges of some packs in one delivery nobody states.

    Parameters
    ----------
    packs
        What is bought.
    seller
        All that its seller offers, where more is known of it than the packs say.

    """
    bought = tuple(packs)
    whole = bought if seller is None else (*bought, *seller)
    silent = {
        **{name: all(getattr(one, name) is None for one in whole) for name in OF_DELIVERY},
        **{name: any(getattr(one, name) is None for one in bought) for name in OF_PACK},
    }
    return tuple(name for name in CHARGES if silent[name])


def stating(offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """Return the offers of which every charge is known."""
    by_seller: dict[str, list[Offer]] = {}
    for one in offers:
        by_seller.setdefault(seller_key(one), []).append(one)
    return tuple(one for one in offers if not unsaid((one,), by_seller[seller_key(one)]))


def seller_key(offer: Offer) -> str:
    """Return what one seller is known by, however spaced and capitalised."""
    return " ".join(offer.seller.casefold().split())
