"""Money: price of a nutrient, labour, margin, quotes."""

from __future__ import annotations

from typing import Any

from assistant.terms import Analysis


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


def hourly_rate(money: Any, hours: Any) -> Any:
    """Break-even rate for an hour: yearly cost / hours worked.

    >>> hourly_rate(Q(150000, "USD"), Q(6000, "hour"))
    <Quantity(25.0, 'USD / hour')>

    Source: ll-profit (its printed example).
    """
    return money / hours


def labor_for(hours: Any, wage_rate: Any) -> Any:
    """Cost of labour: hours x rate.

    >>> labor_for(Q(600, "hour"), Q(25, "USD / hour"))
    <Quantity(15000, 'USD')>

    Source: ll-profit (its printed example).
    """
    return hours * wage_rate


def loaded(wage_rate: Any, first_share: Any, second_share: Any = None) -> Any:
    """A wage with one or two percentages put on it, each on the bare wage.

    >>> round(loaded(Q(16, "USD / hour"), Q(10, "percent"), Q(10, "percent")), 2)
    <Quantity(19.2, 'USD / hour')>

    Source: ll-pricing (its printed example).
    """
    more = first_share.m_as("") + (second_share.m_as("") if second_share is not None else 0)
    return wage_rate * (1 + more)


def markup_for_margin(margin_share: Any) -> Any:
    """Markup on cost that leaves a margin of the price: 1 / (1 - margin) - 1.

    >>> round(markup_for_margin(Q(10, "percent")).to("percent"), 2)
    <Quantity(11.11, 'percent')>

    Source: ll-pricing (its printed example).
    """
    if margin_share.m_as("") >= 1:
        raise ValueError("A margin is below 100 %.")
    return 1 / (1 - margin_share.to("")) - 1


def price_with_margin(money: Any, margin_share: Any) -> Any:
    """Price that leaves a margin on a cost: cost / (1 - margin).

    >>> round(price_with_margin(Q(90, "USD"), Q(10, "percent")), 2)
    <Quantity(100.0, 'USD')>

    Source: ll-pricing.
    """
    return money * (1 + markup_for_margin(margin_share))


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
