"""Money: price of a nutrient, labour, margin, quotes."""

from __future__ import annotations

from math import ceil
from typing import Any

from assistant.calculations.feed import packs
from assistant.terms import Analysis
from assistant.units import Q


def price_of_nitrogen(price: Any, analysis: Analysis) -> Any:
    """Price of a pound of nitrogen: price of the product / share of nitrogen.

    >>> round(price_of_nitrogen(Q(412, "USD / ton"), Analysis(46, 0, 0)).to("USD / lb"), 2)
    <Quantity(0.45, 'USD / pound')>

    Source: noble-fert-cost (its printed example).
    """
    if analysis.nitrogen == 0:
        raise ValueError(f"A {analysis} holds no nitrogen.")
    return price / analysis.share("N")


def price_of_nitrogen_in(money: Any, quantity: Any, analysis: Analysis) -> Any:
    """The same from the price of a bag.

    >>> round(price_of_nitrogen_in(Q(30, "USD"), Q(50, "lb"), Analysis(24, 0, 11)).to("USD / lb"), 2)
    <Quantity(2.5, 'USD / pound')>

    Source: noble-fert-cost.
    """
    return price_of_nitrogen(money / quantity, analysis)


def unit_price(money: Any, quantity: Any) -> Any:
    """Price of a pound or a gallon from the price of a pack: money / what it holds.

    >>> unit_price(Q(180, "USD"), Q(50, "lb")).to("USD / lb")
    <Quantity(3.6, 'USD / pound')>

    Source: common practice.
    """
    return money / quantity


def hourly_rate(money: Any, hours: Any) -> Any:
    """Break-even rate for an hour: yearly cost / hours worked.

    >>> hourly_rate(Q(150000, "USD"), Q(6000, "hour"))
    <Quantity(25.0, 'USD / hour')>

    Source: ll-profit (its printed example).
    """
    return money / hours


def labor_for(hours: Any, wage_rate: Any, people: Any = 1, burden: Any = None) -> Any:
    """Cost of labour: hours x rate, for each of the people, with the share that goes on wages. A wage told as a sum is
    one for an hour.

    >>> labor_for(Q(600, "hour"), Q(25, "USD / hour"))
    <Quantity(15000, 'USD')>

    Source: ll-profit (its printed example).
    """
    return hours * _hourly(wage_rate) * people * (1 + burden.m_as("") if burden is not None else 1)


def _hourly(wage_rate: Any) -> Any:
    return wage_rate / Q(1, "hour") if wage_rate.is_compatible_with("USD") else wage_rate


def loaded(wage_rate: Any, first_share: Any, second_share: Any = None) -> Any:
    """A wage with one or two percentages put on it, each on the bare wage.

    >>> round(loaded(Q(16, "USD / hour"), Q(10, "percent"), Q(10, "percent")), 2)
    <Quantity(19.2, 'USD / hour')>

    Source: ll-pricing (its printed example).
    """
    more = first_share.m_as("") + (second_share.m_as("") if second_share is not None else 0)
    return _hourly(wage_rate) * (1 + more)


def markup_for_margin(margin_share: Any) -> Any:
    """Markup on cost that leaves a margin of the price: 1 / (1 - margin) - 1.

    >>> round(markup_for_margin(Q(10, "percent")).to("percent"), 2)
    <Quantity(11.11, 'percent')>

    Source: ll-pricing (its printed example).
    """
    if margin_share.m_as("") >= 1:
        raise ValueError("A margin is below 100 %.")
    return 1 / (1 - margin_share.to("")) - 1


def margin_of_markup(share: Any) -> Any:
    """Margin of the price that a markup on cost leaves: markup / (1 + markup).

    >>> round(margin_of_markup(Q(50, "percent")).to("percent"), 2)
    <Quantity(33.33, 'percent')>

    Source: ll-pricing (its markup for a margin, turned round).
    """
    return share.to("") / (1 + share.to(""))


def price_with_margin(money: Any, margin_share: Any) -> Any:
    """Price that leaves a margin on a cost: cost / (1 - margin).

    >>> round(price_with_margin(Q(90, "USD"), Q(10, "percent")), 2)
    <Quantity(100.0, 'USD')>

    Source: ll-pricing.
    """
    return money * (1 + markup_for_margin(margin_share))


def share_of(money: Any, share: Any) -> Any:
    """A share of a sum of money, such as a markup.

    >>> round(share_of(Q(3800, "USD"), Q(30, "percent")), 2)
    <Quantity(1140.0, 'USD')>

    Source: common practice (a share of a sum).
    """
    return money * share.m_as("")


def less_share(money: Any, share: Any) -> Any:
    """A sum of money with a share taken off, such as a discount.

    >>> round(less_share(Q(1450, "USD"), Q(10, "percent")), 2)
    <Quantity(1305.0, 'USD')>

    Source: common practice (a share of a sum).
    """
    return money - share_of(money, share)


def plus_share(money: Any, share: Any) -> Any:
    """A sum of money with a share put on, such as a markup or a tax.

    >>> round(plus_share(Q(1240, "USD"), Q(35, "percent")), 2)
    <Quantity(1674.0, 'USD')>

    Source: common practice (a share of a sum).
    """
    return money + share_of(money, share)


def added(money: Any, more: Any) -> Any:
    """A sum of money with another one put to it, such as delivery.

    >>> added(Q(617.5, "USD"), Q(75, "USD"))
    <Quantity(692.5, 'USD')>

    Source: common practice (a sum).
    """
    return money + more


def price_per_area(money: Any, area: Any) -> Any:
    """Price per 1,000 sq ft of a job.

    >>> price_per_area(Q(300, "USD"), Q(6000, "sq_ft")).m_as("USD / sq_ft") * 1000
    50.0

    Source: common practice.
    """
    return money / area


def cost_of(quantity: Any, price: Any) -> Any:
    """Cost of an amount at a price.

    >>> cost_of(Q(40, "lb"), Q(3, "USD / lb")).to("USD")
    <Quantity(120, 'USD')>

    Source: common practice.
    """
    return quantity * price


def cost_in_bags(area: Any, rate: Any, pack: Any, bag_price: Any) -> Any:
    """Cost of a material that is sold in whole bags: bags for the area, rounded up, x the price of one.

    >>> cost_in_bags(Q(11200, "sq_ft"), Q(6, "lb") / Q(1000, "sq_ft"), Q(25, "lb"), Q(64, "USD"))
    <Quantity(192.0, 'USD')>

    Source: common practice.
    """
    bags = ceil(round((area * rate / pack).to("").magnitude, 6))
    return Q(float(bags * bag_price.m_as("USD")), "USD")


def cheaper_nitrogen(
    money: Any, quantity: Any, analysis: Analysis, other_money: Any, other_quantity: Any, other_analysis: Analysis
) -> Any:
    """Price of a pound of nitrogen in the cheaper of two bags.

    >>> one, two = Analysis(32, 0, 4), Analysis(46, 0, 0)
    >>> round(cheaper_nitrogen(Q(36, "USD"), Q(50, "lb"), one, Q(29, "USD"), Q(50, "lb"), two), 2)
    <Quantity(1.26, 'USD / pound')>

    Source: noble-fert-cost.
    """
    return min(
        price_of_nitrogen_in(money, quantity, analysis),
        price_of_nitrogen_in(other_money, other_quantity, other_analysis),
    )


def quote(material: Any, hours: Any, wage_rate: Any, margin_share: Any, travel: Any = None) -> Any:
    """Price of a job: material, labor and travel, with a margin on the price.

    >>> pounds = quote(Q(310, "USD"), Q(9, "hour"), Q(32, "USD / hour"), Q(30, "percent"), Q(45, "USD"))
    >>> round(pounds, 2)
    <Quantity(918.57, 'USD')>

    Source: ll-pricing (cost / (1 - margin)).
    """
    cost = material + labor_for(hours, wage_rate) + (travel if travel is not None else 0 * material)
    return price_with_margin(cost, margin_share)


def operations(
    area: Any, price: Any, second: Any = None, third: Any = None, fourth: Any = None, trip: Any = None
) -> Any:
    """Price of several operations on one area: the sum of their prices per area x the area, and a trip.

    >>> operations(Q(10000, "sq_ft"), *[Q(one, "USD") / Q(1000, "sq_ft") for one in (14, 38, 11)]).to("USD")
    <Quantity(630.0, 'USD')>

    Source: common practice.
    """
    prices = [one for one in (price, second, third, fourth) if one is not None]
    total = (area * sum(prices[1:], prices[0])).to("USD")
    return total + trip if trip is not None else total


def seed_cost_rate(price: Any, rate: Any) -> Any:
    """Cost of a material for an area: price of a pound x pounds on the area.

    >>> (seed_cost_rate(Q(3, "USD / lb"), Q(7, "lb") / Q(1000, "sq_ft")) * Q(1000, "sq_ft")).to("USD")
    <Quantity(21.0, 'USD')>

    Source: common practice.
    """
    return price * rate


def cost_on_area(area: Any, rate: Any, price: Any) -> Any:
    """Cost of a material for an area: area x rate x price.

    >>> round(cost_on_area(Q(14000, "sq_ft"), Q(7, "lb") / Q(1000, "sq_ft"), Q(3.1, "USD / lb")).to("USD"), 2)
    <Quantity(303.8, 'USD')>

    Source: common practice.
    """
    return area * seed_cost_rate(price, rate)


def margin_of(money: Any, sold: Any) -> Any:
    """The margin of a price: (price - cost) / price.

    >>> round(margin_of(Q(600, "USD"), Q(1000, "USD")).to("percent"), 6)
    <Quantity(40.0, 'percent')>

    Source: ll-pricing (margin on the price).
    """
    return (sold - money) / sold


def marked_up(material: Any, hours: Any, wage_rate: Any, markup_share: Any) -> Any:
    """The price of a job with a markup on its cost.

    >>> round(marked_up(Q(415, "USD"), Q(9, "hour"), Q(42, "USD / hour"), Q(20, "percent")), 2)
    <Quantity(951.6, 'USD')>

    Source: common practice.
    """
    return (material + labor_for(hours, wage_rate)) * (1 + markup_share.m_as(""))


def tiered(base: Any, base_area: Any, price: Any, area: Any) -> Any:
    """A base price for the first part of an area, and a rate for what lies beyond.

    >>> tiered(Q(62, "USD"), Q(5000, "sq_ft"), Q(7, "USD") / Q(1000, "sq_ft"), Q(11500, "sq_ft"))
    <Quantity(107.5, 'USD')>

    Source: common practice.
    """
    return base + max(area - base_area, 0 * area) * price


def whole_bags(needed: Any, pack: Any, bag_price: Any) -> Any:
    """Cost of an amount that is sold in whole bags.

    >>> whole_bags(Q(62, "lb"), Q(50, "lb"), Q(27.5, "USD"))
    <Quantity(55.0, 'USD')>

    Source: common practice.
    """
    return packs(needed, pack) * bag_price


def packs_of(needed: Any, pack: Any) -> Any:
    """Bags or jugs that an amount comes to, not rounded.

    >>> packs_of(Q(90, "lb"), Q(20, "lb"))
    <Quantity(4.5, 'dimensionless')>

    Source: common practice.
    """
    return (needed / pack).to("")


def of_that(needed: Any, price: Any, pack: Any = None) -> Any:
    """Cost of an amount at a price by weight or volume, or at the price of one pack, whole packs.

    >>> of_that(Q(40, "lb"), Q(3, "USD / lb")).to("USD")
    <Quantity(120, 'USD')>
    >>> of_that(Q(62, "lb"), Q(27.5, "USD"), Q(50, "lb"))
    <Quantity(55.0, 'USD')>

    None for the price of one pack without its size.
    Source: common practice.
    """
    if not price.check("[money]"):
        return cost_of(needed, price)
    return None if pack is None else whole_bags(needed, pack, price)


def of_that_by_weight(needed: Any, price: Any) -> Any:
    """What a bare price comes to where it is that of a pound or of a gallon, not of a pack; None where it says of what.

    >>> of_that_by_weight(Q(36, "lb"), Q(2.85, "USD")).to("USD")
    <Quantity(102.6, 'USD')>

    Source: common practice.
    """
    if not price.check("[money]"):
        return None
    return cost_of(needed, price / Q(1, "lb" if needed.check("[mass]") else "gal"))


def pack_on_area(money: Any, pack: Any, rate: Any) -> Any:
    """Cost of a packed product on an area: price / size of the pack x rate.

    >>> round(pack_on_area(Q(48, "USD"), Q(64, "floz"), Q(1.2, "floz") / Q(1000, "sq_ft")).to("USD / sq_ft") * Q(1000, "sq_ft"), 2)
    <Quantity(0.9, 'USD')>

    Source: common practice.
    """
    return money / pack * rate


def with_tax(area: Any, price: Any, tax: Any) -> Any:
    """The price of an area with a tax on it.

    >>> round(with_tax(Q(1200, "m**2"), Q(1.85, "USD / m**2"), Q(8, "percent")), 2)
    <Quantity(2397.6, 'USD')>

    Source: common practice.
    """
    return area * price * (1 + tax.m_as(""))
