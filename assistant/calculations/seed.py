"""Seed: from a rate and an area to pounds and bags."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from assistant.units import Q, ureg


@ureg.check("[mass] / [area]", "[area]")
def seed_for(rate: Any, area: Any) -> Any:
    """Seed that an area takes: seeding rate x area.

    >>> seed_for(Q(6, "lb") / Q(1000, "sq_ft"), Q(3000, "sq_ft"))
    <Quantity(18.0, 'pound')>

    Source: cornell-ssf.
    """
    return (rate * area).to("lb")


def for_stand_lost(new_rate: Any, lost: float) -> Any:
    """Rate for a lawn that has lost a share (0 to 1) of its stand: new-lawn rate x share lost.

    >>> for_stand_lost(Q(5, "lb"), 0.5)
    <Quantity(2.5, 'pound')>

    Source: uga-hall-reseed (5 lb at half the stand lost is 2.5 lb).
    """
    return new_rate * lost


@ureg.check("[mass] / [area]", "1 / [mass]")
def seeds_per_area(rate: Any, seeds_per_pound: Any) -> Any:
    """Seeds on a square inch: rate x seeds per pound.

    >>> round(seeds_per_area(Q(2, "lb") / Q(1000, "sq_ft"), Q(1400000, "1 / lb")).to("1 / sq_in"), 1)
    <Quantity(19.4, '1 / square_inch')>

    Source: ohio-546 (15 to 20 seeds a square inch is normally adequate).
    """
    return rate * seeds_per_pound


def pure_live(purity: Any, germination: Any) -> Any:
    """Pure live seed of a lot: purity x germination, both as shares.

    >>> round(pure_live(Q(92, "percent"), Q(80, "percent")).to("percent"), 1)
    <Quantity(73.6, 'percent')>

    Source: psu-pls-price (prints 74 %).
    """
    return (purity * germination).to("percent")


def live_in(quantity: Any, purity: Any, germination: Any) -> Any:
    """Pure live seed in a weight of bag seed: weight x purity x germination.

    >>> round(live_in(Q(50, "lb"), Q(97, "percent"), Q(90, "percent")), 2)
    <Quantity(43.65, 'pound')>

    Source: psu-pls-price (purity x germination).
    """
    return quantity * pure_live(purity, germination).m_as("")


def bag_seed_for_live(live: Any, purity: Any, germination: Any) -> Any:
    """Seed out of the bag that holds an amount (or a rate) of pure live seed: live seed / (purity x germination).

    >>> round(bag_seed_for_live(Q(20, "lb"), Q(48, "percent"), Q(80, "percent")).to("lb"), 1)
    <Quantity(52.1, 'pound')>

    Source: lsu-pls (prints 52.6 after rounding 0.384 to 0.38).
    """
    return live / pure_live(purity, germination).to("")


def bag_seed_on_area(live_rate: Any, area: Any, purity: Any, germination: Any) -> Any:
    """Bag seed for an area at a rate that is stated as pure live seed.

    >>> round(bag_seed_on_area(Q(1, "lb") / Q(1000, "sq_ft"), Q(20000, "sq_ft"), Q(48, "percent"), Q(80, "percent")).to("lb"), 1)
    <Quantity(52.1, 'pound')>

    Source: lsu-pls.
    """
    return bag_seed_for_live(live_rate * area, purity, germination)


def bag_seed_a_pound(purity: Any, germination: Any, live: Any = None) -> Any:
    """Bag seed that holds one pound, or an amount, of pure live seed.

    >>> round(bag_seed_a_pound(Q(85, "percent"), Q(75, "percent")), 2)
    <Quantity(1.57, 'pound')>

    Source: txdot-pls (prints 1.56).
    """
    return bag_seed_for_live(Q(1, "lb") if live is None else live, purity, germination)


def price_of_live(price: Any, purity: Any, germination: Any) -> Any:
    """Price of a pound of pure live seed: price of a pound of bag seed / (purity x germination).

    >>> round(price_of_live(Q(1.95, "USD") / Q(1, "lb"), Q(85, "percent"), Q(60, "percent")), 2)
    <Quantity(3.82, 'USD / pound')>

    Source: psu-pls-price (prints 3.90 after rounding the pounds).
    """
    return price / pure_live(purity, germination).to("")


def seeds_per_square_inch(seed_rate: Any, seeds_per_pound: Any) -> Any:
    """Seeds on a square inch at a seeding rate.

    >>> round(seeds_per_square_inch(Q(6, "lb") / Q(1000, "sq_ft"), Q(225000, "1 / lb")), 1)
    <Quantity(9.4, '1 / square_inch')>

    Source: ohio-546.
    """
    return seeds_per_area(seed_rate, seeds_per_pound).to("1 / sq_in")


def half_each_way(quantity: Any) -> Any:
    """Seed for each of two directions: half.

    >>> half_each_way(Q(30, "lb"))
    <Quantity(15.0, 'pound')>

    Source: ncsu-quick (half one way, half at right angles).
    """
    return quantity / 2


def rate_so_far(used: Any, done: Any) -> Any:
    """How many times the planned rate went down: share of the seed used / share of the area done.

    >>> round(rate_so_far(Q(50, "percent"), Q(35, "percent")).to(""), 2)
    <Quantity(1.43, 'dimensionless')>

    Source: common practice (50 / 35 = 1.43).
    """
    return (used / done).to("")


def rate_left(used: Any, done: Any) -> Any:
    """How many times the planned rate the rest of the area gets with the seed that is left.

    >>> round(rate_left(Q(50, "percent"), Q(35, "percent")).to(""), 2)
    <Quantity(0.77, 'dimensionless')>

    Raises ValueError where the whole area is done. Source: common practice (50 / 65 = 0.77).
    """
    left = 1 - done.to("")
    if left <= 0:
        raise ValueError("The whole area is done already.")
    return (1 - used.to("")) / left


def seed_left(quantity: Any, seed_rate: Any, area: Any) -> Any:
    """Seed left over after an area at a rate.

    >>> seed_left(Q(50, "lb"), Q(6, "lb") / Q(1000, "sq_ft"), Q(5000, "sq_ft")).to("lb")
    <Quantity(20.0, 'pound')>

    Raises ValueError where it does not reach. Source: cornell-ssf (rate x area).
    """
    left = quantity - seed_for(seed_rate, area)
    if left < 0 * quantity:
        raise ValueError("That is not enough seed for the area.")
    return left


def share_kept(quantity: Any, share: Any) -> Any:
    """Seed held back for touching up.

    >>> share_kept(Q(40, "lb"), Q(10, "percent")).to("lb")
    <Quantity(4.0, 'pound')>

    Source: common practice.
    """
    return quantity * share.to("")


def sod_rolls(area: Any, roll: Any, extra: Any = 0) -> Any:
    """Rolls, pieces or pallets of sod for an area, with a share more for cuts; not rounded.

    >>> sod_rolls(Q(1000, "sq_ft"), Q(10, "sq_ft")).to("")
    <Quantity(100.0, 'dimensionless')>
    >>> round(sod_rolls(Q(1000, "sq_ft"), Q(10, "sq_ft"), Q(5, "percent")).to(""), 6)
    <Quantity(105.0, 'dimensionless')>

    Source: common practice.
    """
    return (area * (1 + _share(extra)) / roll).to("")


def with_extra(quantity: Any, extra: Any) -> Any:
    """An amount with a share more bought for touching up.

    >>> with_extra(Q(80, "lb"), Q(10, "percent"))
    <Quantity(88.0, 'pound')>

    Source: common practice.
    """
    return quantity * (1 + _share(extra))


def _share(share: Any) -> Any:
    return share.to("").magnitude if hasattr(share, "to") else share


def rate_of(used: Any, covered: Any) -> Any:
    """The rate that really went down: seed used / area covered.

    >>> (rate_of(Q(20, "lb"), Q(4000, "sq_ft")) * Q(1000, "sq_ft")).to("lb")
    <Quantity(5.0, 'pound')>

    Source: osuokc-calibration (amount / area).
    """
    return used / covered


def more_to_buy(used: Any, covered: Any, whole: Any, left: Any) -> Any:
    """Seed still to be bought where the whole area gets the rate that went down so far.

    >>> round(more_to_buy(Q(20, "lb"), Q(4000, "sq_ft"), Q(10000, "sq_ft"), Q(25, "lb")), 6)
    <Quantity(5.0, 'pound')>

    Raises ValueError where more is covered than the whole. Source: osuokc-calibration (amount / area).
    """
    rest = (whole - covered).to("sq_ft")
    if rest.magnitude < 0:
        raise ValueError("More is covered than the whole area.")
    needed = (used / covered * rest - left).to(used.units)
    return needed if needed.magnitude > 0 else 0 * used


def hopper_rate(before: Any, after: Any, area: Any) -> Any:
    """A spreader's rate from the hopper's weight before and after a known area.

    >>> (hopper_rate(Q(10, "lb"), Q(8, "lb"), Q(500, "sq_ft")) * Q(1000, "sq_ft")).to("lb")
    <Quantity(4.0, 'pound')>

    Raises ValueError where nothing left the hopper. Source: osuokc-calibration (amount / area).
    """
    if before <= after:
        raise ValueError("The hopper must be lighter after the run than before it.")
    return (before - after) / area


def pan_rate(caught: Any, width: Any, length: Any) -> Any:
    """A spreader's rate from what a pan caught over a swath and a run.

    >>> (pan_rate(Q(1, "lb"), Q(5, "ft"), Q(40, "ft")) * Q(1000, "sq_ft")).to("lb")
    <Quantity(5.0, 'pound')>

    Source: arizona-drop-spreader (catch / (width x length)).
    """
    return caught / (width * length)


def rate_for_density(on_area: Any, seeds_per_pound: Any) -> Any:
    """Seeding rate for a number of seeds on a square inch.

    >>> round((rate_for_density(Q(10, "1 / sq_in"), Q(227000, "1 / lb")) * Q(1000, "sq_ft")).to("lb"), 2)
    <Quantity(6.34, 'pound')>

    Source: ohio-546 (seeds per square inch), solved for the rate.
    """
    return on_area / seeds_per_pound


def coated_for(seed_rate: Any, area: Any, coating: Any) -> Any:
    """Coated seed that holds the bare seed wanted: rate x area / (1 - share of coating).

    >>> coated_for(Q(2, "lb") / Q(1000, "sq_ft"), Q(9000, "sq_ft"), Q(40, "percent")).to("lb")
    <Quantity(30.0, 'pound')>

    Raises ValueError where all of it is coating. Source: common practice.
    """
    return coated_for_weight(seed_rate * area, coating)


def half_on_area(seed_rate: Any, area: Any) -> Any:
    """Seed for each of two directions over an area: half of rate x area.

    >>> half_on_area(Q(6, "lb") / Q(1000, "sq_ft"), Q(5000, "sq_ft")).to("lb")
    <Quantity(15.0, 'pound')>

    Source: ncsu-quick (half one way, half at right angles).
    """
    return half_each_way(seed_for(seed_rate, area))


def price_of_live_in(money: Any, quantity: Any, purity: Any, germination: Any) -> Any:
    """Price of a pound of pure live seed from the price of a bag.

    >>> round(price_of_live_in(Q(100, "USD"), Q(50, "lb"), Q(80, "percent"), Q(50, "percent")), 6)
    <Quantity(5.0, 'USD / pound')>

    Source: psu-pls-price.
    """
    return price_of_live(money / quantity, purity, germination)


def share_by_count(share: Any, seeds: Any, other_share: Any, other_seeds: Any) -> Any:
    """Share of the seeds, by count, that are of the first kind in a mix told by weight.

    >>> round(share_by_count(Q(80, "percent"), Q(227000, "1 / lb"), Q(20, "percent"), Q(2200000, "1 / lb")), 2)
    <Quantity(29.21, 'percent')>

    Source: ohio-546 (seeds in a pound x pounds).
    """
    first = share * seeds
    return (first / (first + other_share * other_seeds)).to("percent")


def other_share_by_count(share: Any, seeds: Any, other_share: Any, other_seeds: Any) -> Any:
    """Share of the seeds, by count, that are of the second kind in a mix told by weight.

    >>> round(other_share_by_count(Q(80, "percent"), Q(227000, "1 / lb"), Q(20, "percent"), Q(2200000, "1 / lb")), 2)
    <Quantity(70.79, 'percent')>

    Source: ohio-546 (seeds in a pound x pounds).
    """
    return share_by_count(other_share, other_seeds, share, seeds)


def cheaper_live(
    price: Any, purity: Any, germination: Any, other_price: Any, other_purity: Any, other_germination: Any
) -> Any:
    """Price of a pound of pure live seed of the cheaper of two lots.

    >>> two = cheaper_live(Q(2, "USD / lb"), Q(80, "percent"), Q(50, "percent"), Q(3, "USD / lb"), Q(1, ""), Q(1, ""))
    >>> round(two, 6)
    <Quantity(3.0, 'USD / pound')>

    Source: psu-pls-price.
    """
    return min(price_of_live(price, purity, germination), price_of_live(other_price, other_purity, other_germination))


def stand_share(count: Any, sown: Any) -> Any:
    """Share of the seed sown that came up: seedlings / seeds on the same area.

    >>> stand_share(Q(6, "1 / sq_in"), Q(12, "1 / sq_in")).to("percent")
    <Quantity(50.0, 'percent')>

    Raises ValueError where more came up than were sown. Source: common practice.
    """
    if count > sown:
        raise ValueError("No more can come up than were sown; say the seedlings first and then the seeds.")
    return (count / sown).to("percent")


def times_ordinary(purity: Any, germination: Any, ordinary: Any) -> Any:
    """How many times the weight of an ordinary lot a poor or coated lot needs: ordinary live seed / its live seed.

    >>> round(times_ordinary(Q(49, "percent"), Q(85, "percent"), Q(80.75, "percent")), 2)
    <Quantity(1.94, 'dimensionless')>

    Source: cornell-ssf (95 % pure at 85 % germination is the ordinary lot, 80.75 % live).
    """
    return (ordinary / pure_live(purity, germination)).to("")


def rate_for_rest(left: Any, whole: Any, covered: Any) -> Any:
    """The rate that the seed left gives the area left.

    >>> (rate_for_rest(Q(30, "lb"), Q(10000, "sq_ft"), Q(4000, "sq_ft")) * Q(1000, "sq_ft")).to("lb")
    <Quantity(5.0, 'pound')>

    Raises ValueError where the whole area is done. Source: osuokc-calibration (amount / area).
    """
    rest = whole - covered
    if rest <= 0 * whole:
        raise ValueError("The whole area is done already.")
    return left / rest


def bare_seed_in(quantity: Any, coating: Any) -> Any:
    """Bare seed in coated seed: its weight less the coating.

    >>> bare_seed_in(Q(50, "lb"), Q(34, "percent"))
    <Quantity(33.0, 'pound')>

    Source: common practice.
    """
    return quantity * (1 - _share(coating))


def coated_for_weight(quantity: Any, coating: Any) -> Any:
    """Coated seed that holds a weight of bare seed: the weight / (1 - share of coating).

    >>> coated_for_weight(Q(30, "lb"), Q(40, "percent"))
    <Quantity(50.0, 'pound')>

    Raises ValueError where all of it is coating. Source: common practice.
    """
    bare = 1 - _share(coating)
    if bare <= 0:
        raise ValueError("A coating is less than the whole weight.")
    return quantity / bare


def bags_of(quantity: Any, pack: Any) -> Any:
    """Bags for a weight, not rounded.

    >>> bags_of(Q(90, "lb"), Q(20, "lb"))
    <Quantity(4.5, 'dimensionless')>

    Source: common practice.
    """
    return (quantity / pack).to("")


def bag_rate(live_rate: Any, purity: Any, germination: Any) -> Any:
    """Rate of bag seed that gives a rate of pure live seed.

    >>> round((bag_rate(Q(4, "lb") / Q(1000, "sq_ft"), Q(90, "percent"), Q(78, "percent")) * Q(1000, "sq_ft")).to("lb"), 2)
    <Quantity(5.7, 'pound')>

    Source: lsu-pls.
    """
    return bag_seed_for_live(live_rate, purity, germination)


def parts_of_mix(quantity: Any, shares: Sequence[Any]) -> list[Any]:
    """The weight of each part of a mix, by its shares of the weight. Shares that leave a rest leave it out.

    Raises ValueError where the shares come to more than 100 %.

    >>> [round(part.m_as("lb"), 6) for part in parts_of_mix(Q(10, "lb"), [Q(80, "percent"), Q(20, "percent")])]
    [8.0, 2.0]

    Source: common practice.
    """
    if sum(share.m_as("percent") for share in shares) > 100.5:
        raise ValueError("Those shares come to more than 100 %.")
    return [quantity * share.to("") for share in shares]


def rate_of_trial(quantity: Any, area: Any) -> Any:
    """The rate that a trial put down.

    >>> round(rate_of_trial(Q(3, "lb"), Q(500, "sq_ft")).to("lb / sq_ft") * Q(1000, "sq_ft"), 6)
    <Quantity(6.0, 'pound')>

    Source: osuokc-calibration.
    """
    return quantity / area


def next_setting(setting: Any, quantity: Any, area: Any, rate: Any) -> Any:
    """The setting to try next: setting x wanted rate / rate of the trial.

    >>> round(next_setting(Q(5, ""), Q(3, "lb"), Q(500, "sq_ft"), Q(4, "lb") / Q(1000, "sq_ft")).to(""), 2)
    <Quantity(3.33, 'dimensionless')>

    Source: common practice (a straight line, then a second trial).
    """
    return (setting * rate / rate_of_trial(quantity, area)).to("")


def bag_rate_of_live(live_rate: Any, live: Any) -> Any:
    """The rate of bag seed for a rate of live seed: rate / share of live seed.

    >>> round(bag_rate_of_live(Q(3, "lb"), Q(78, "percent")), 2)
    <Quantity(3.85, 'pound')>

    Source: lsu-pls.
    """
    return live_rate / live.to("")


def setting_by_rates(setting: Any, got: Any, rate: Any) -> Any:
    """The setting to try next: setting x wanted rate / rate that it gave.

    >>> round(setting_by_rates(Q(12, ""), Q(4.2, "lb"), Q(5, "lb")), 2)
    <Quantity(14.29, 'dimensionless')>

    Source: common practice (a straight line, then a second trial).
    """
    return (setting * rate / got).to("")


def rate_for_rest_of(started: Any, spent: Any, whole: Any, covered: Any) -> Any:
    """The rate that makes the seed left cover the rest.

    >>> round(rate_for_rest_of(*[Q(60, "lb"), Q(30, "lb"), Q(10000, "sq_ft"), Q(4000, "sq_ft")]).to("lb / sq_ft") * Q(1000, "sq_ft"), 6)
    <Quantity(5.0, 'pound')>

    Source: common practice.
    """
    return rate_for_rest(started - spent, whole, covered)
