"""Small pack programmes drawn at random, and the cheapest order of each by trying them all."""

import random
from dataclasses import replace
from decimal import Decimal
from itertools import product

from planner.cover import Need
from planner.order.packs import Pack, Parcel, Programme, key_of


def drawn(seed, *, one_seller, samples=False):
    """Return a small programme: up to 3 needs, 3 sellers, 7 packs."""
    dice = random.Random(seed)  # noqa: S311 - nothing secret
    needs = tuple(
        Need(f"stone-{one}", "none", "SS20", dice.randint(1, 40), dice.randint(0, 10))
        for one in range(dice.randint(1, 3))
    )
    sellers = [f"seller {one}" for one in range(dice.randint(1, 3))]
    packs = [
        Pack(
            key=str(number), seller=dice.choice(sellers), fits=key_of(dice.choice(needs)),
            count=dice.choice([10, 12, 20, 24, 50]), price=Decimal(dice.randint(50, 900)) / 100,
            days=dice.choice([None, 2, 5, 9, 14]), most=dice.choice([None, None, 0, 1, 2]),
        )
        for number in range(dice.randint(1, 7))
    ]  # fmt: skip
    parcels = [Parcel(one, Decimal(dice.choice([0, 150, 395, 990])) / 100) for one in sellers]
    sampled = frozenset(key_of(need) for need in needs if samples and dice.random() < 0.6)
    if samples:
        packs += [
            replace(one, days=None if one.days is None else one.days + 12, delivery="later")
            for one in packs[:5]
        ]
        parcels += [replace(one, delivery="later") for one in parcels]
    within = dice.choice([None, 5, 9, 14, 23, 26])
    return Programme(
        needs, tuple(packs), tuple(parcels), one_seller=one_seller, within=within, samples=sampled
    )


def allowed(programme, bought):
    """Return whether an order, as (pack, times), keeps every rule; written without the planner's own."""
    if programme.within is not None and any((pack.days or 99) > programme.within for pack, _ in bought):
        return False
    for need in programme.needs:
        mine = [(pack, times) for pack, times in bought if pack.fits == key_of(need)]
        if sum(pack.count * times for pack, times in mine) < need.count:
            return False
        if key_of(need) in programme.samples:
            now = [(pack, times) for pack, times in mine if pack.delivery == "now"]
            if len(now) != 1 or now[0][1] != 1 or len({pack.seller for pack, _ in mine}) > 1:
                return False
            sample = now[0][0]
            rivals = [
                pack for pack in programme.packs
                if pack.fits == sample.fits and pack.seller == sample.seller and pack.delivery == "now"
                and pack.most != 0 and (programme.within is None or (pack.days or 99) <= programme.within)
            ]  # fmt: skip
            if sample.count > min(pack.count for pack in rivals):
                return False
        elif programme.one_seller and len({(pack.seller, pack.delivery) for pack, _ in mine}) > 1:
            return False
    return True


def tried(programme):
    """Return the least (cost, parcels) over all orders, or None."""
    counts = {key_of(need): need.count for need in programme.needs}
    ranges = []
    for pack in programme.packs:
        most = -(-counts[pack.fits] // pack.count)
        ranges.append(range(min(most, most if pack.most is None else pack.most) + 1))
    shipping = {(one.seller, one.delivery): one.shipping for one in programme.parcels}
    best = None
    for times in product(*ranges):
        bought = [(pack, n) for pack, n in zip(programme.packs, times, strict=True) if n]
        sent = {(pack.seller, pack.delivery) for pack, _ in bought}
        cost = sum(pack.price * n for pack, n in bought) + sum(shipping[one] for one in sent)
        if (best is None or (cost, len(sent)) < best) and allowed(programme, bought):
            best = cost, len(sent)
    return best
