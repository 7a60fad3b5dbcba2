"""Fertilizer: product over an area, and what an analysis makes of it in N, P2O5 and K2O."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from assistant.terms import Analysis
from assistant.units import Q

NUTRIENTS = ("N", "P2O5", "K2O")


class NoNutrient(ValueError):
    """A product that carries none of the nutrient asked for."""


class NeedsDensity(ValueError):
    """A liquid's nutrients cannot be told without what a gallon of it weighs."""


def spread_at(rate: Any, area: Any) -> Any:
    """Product that an area takes at a rate: rate x area. Mass or volume per area, and an area.

    >>> spread_at(Q(12, "floz") / Q(1000, "sq_ft"), Q(4200, "sq_ft"))
    <Quantity(50.4, 'fluid_ounce')>

    Source: unl-fert-calc.
    """
    return rate * area


def weight(product: Any, density: Any = None) -> Any:
    """Weight of an amount of product; a volume needs the product's density.

    >>> round(weight(Q(12, "floz"), Q(10.5, "lb") / Q(1, "gal")).to("lb"), 4)
    <Quantity(0.9844, 'pound')>

    Raises NeedsDensity for a volume without one. Source: vineyard-liquid-fert (gallons x pounds per gallon).
    """
    if product.check("[mass]") or product.check("[mass] / [area]"):
        return product
    if density is None:
        raise NeedsDensity
    return product * density


def nutrient(product: Any, analysis: Analysis, which: str, density: Any = None) -> Any:
    """Weight of one nutrient in an amount (or a rate) of product: weight x percent / 100.

    >>> nutrient(Q(30, "lb"), Analysis(24, 2, 8), "N").to("lb")
    <Quantity(7.2, 'pound')>

    Source: cornell-suffolk-fert (its printed example).
    """
    return weight(product, density) * analysis.share(which)


def product_for(target: Any, analysis: Analysis, which: str, density: Any = None) -> Any:
    """Product (or rate of it) that carries a target weight (or rate) of a nutrient: target / (percent / 100), and for
    a liquid / density.

    >>> round(product_for(Q(1, "lb") / Q(1000, "sq_ft"), Analysis(28, 3, 6), "N") * Q(6000, "sq_ft"), 2)
    <Quantity(21.43, 'pound')>

    Raises NoNutrient where the analysis has none. Source: unl-fert-calc.
    """
    share = analysis.share(which)
    if share == 0:
        raise NoNutrient(which)
    needed = target / share
    return needed if density is None else needed / density


def per_area(amount: Any, area: Any) -> Any:
    """The rate that an amount over an area comes to.

    Source: osuokc-calibration.
    """
    return amount / area


def packs(needed: Any, pack: Any) -> int:
    """Whole bags or jugs that hold the amount needed.

    >>> packs(Q(7057, "lb"), Q(50, "lb"))
    142

    Source: ctp-practice (its printed example, 142 bags).
    """
    share = (needed / pack).m_as("")
    whole = int(share)
    return whole if share - whole < 1e-9 else whole + 1


def at_most(rate: Any, cap: Any, tolerance: float = 0.005) -> bool:
    """Whether a rate keeps to a cap; equal within the tolerance is at the cap, not over it.

    Source: common practice (0.9 against a cap of 0.9 is at it).
    """
    return bool(rate <= cap * (1 + tolerance))


# P2O5 is 43.64 % phosphorus and K2O 83.01 % potassium by atomic weight.
_PHOSPHORUS_IN_P2O5 = 2 * 30.974 / 141.945
_POTASSIUM_IN_K2O = 2 * 39.098 / 94.196


def phosphorus(phosphate: Any) -> Any:
    """Elemental phosphorus in phosphate: P2O5 x 0.4364.

    >>> round(phosphorus(Q(20, "percent")).m_as("percent"), 1)
    8.7

    Source: nofa-conversions (by atomic weights; Penn State rounds to 0.44).
    """
    return phosphate * _PHOSPHORUS_IN_P2O5


def phosphate_of(element: Any) -> Any:
    """Phosphate in elemental phosphorus: P x 2.2914.

    >>> round(phosphate_of(Q(1, "lb")).m_as("lb"), 2)
    2.29

    Source: nofa-conversions (prints 2.23, a slip; the atomic weights give 2.29).
    """
    return element / _PHOSPHORUS_IN_P2O5


def potassium(potash: Any) -> Any:
    """Elemental potassium in potash: K2O x 0.8301.

    >>> round(potassium(Q(10, "percent")).m_as("percent"), 1)
    8.3

    Source: nofa-conversions (by atomic weights).
    """
    return potash * _POTASSIUM_IN_K2O


def potash_of(element: Any) -> Any:
    """Potash in elemental potassium: K x 1.2046.

    >>> round(potash_of(Q(1, "lb")).m_as("lb"), 2)
    1.2

    Source: nofa-conversions (by atomic weights).
    """
    return element / _POTASSIUM_IN_K2O


def percent_by_pounds(wanted: Any, product_rate: Any) -> Any:
    """Nutrient percentage that a product must have: nutrient / product, both on the same area.

    >>> percent_by_pounds(Q(1, "lb"), Q(5, "lb") / Q(1000, "sq_ft"))
    <Quantity(20.0, 'percent')>

    Where only one of them is a rate, the other is taken per 1,000 sq ft, as the trade means it. Source: psu-n-applied
    (5 lb that gives 1 lb of N is 20 %).
    """
    return (_on_a_thousand(wanted) / _on_a_thousand(product_rate)).to("percent")


def _on_a_thousand(amount: Any) -> Any:
    return amount / Q(1000, "sq_ft") if amount.check("[mass]") else amount


def area_fed(quantity: Any, analysis: Analysis, nutrient_rate: Any) -> Any:
    """Area that an amount of product feeds at a rate of nitrogen: pounds of N in it / rate.

    >>> round(area_fed(Q(30, "lb"), Analysis(24, 2, 8), Q(1, "lb") / Q(1000, "sq_ft")).m_as("sq_ft"))
    7200

    Source: cornell-suffolk-fert (prints about 7,000).
    """
    if analysis.nitrogen == 0:
        raise ValueError(f"A {analysis} holds no nitrogen.")
    return quantity * analysis.share("N") / _on_a_thousand(nutrient_rate)


def area_covered(quantity: Any, rate: Any) -> Any:
    """Area that an amount of product covers at a rate of product: amount / rate.

    >>> area_covered(Q(50, "lb"), Q(4, "lb") / Q(1000, "sq_ft")).to("sq_ft")
    <Quantity(12500.0, 'square_foot')>

    Source: osuokc-calibration.
    """
    return quantity / rate


def stock_for_injector(ppm: Any, ratio: Any, analysis: Analysis) -> Any:
    """Fertilizer in a gallon of stock for an injector: wanted N x ratio x weight of water / nitrogen share.

    >>> round(stock_for_injector(Q(150, "ppm"), Q(200, ""), Analysis(20, 10, 20)).m_as("oz / gal"), 1)
    20.0

    Source: cornell-flor-fert (prints 20.25).
    """
    return ppm.to("") * ratio * WATER / analysis.share("N")


WATER: Any = Q(8.345404, "lb") / Q(1, "gal")  # a gallon of water weighs 8.345 lb


def added(masses: list[Any]) -> Any:
    """What several amounts come to.

    >>> added([Q(1, "lb"), Q(0.5, "lb")])
    <Quantity(1.5, 'pound')>

    Source: uiuc-n (nitrogen for a year is a sum).
    """
    return sum(masses[1:], masses[0])


def budget_left(budget: Any, used_n: Any) -> Any:
    """What is left of a year's nitrogen.

    >>> budget_left(Q(4, "lb"), Q(2.5, "lb"))
    <Quantity(1.5, 'pound')>

    Raises ValueError where it is used up. Source: uiuc-n (yearly nitrogen by species).
    """
    if not budget.is_compatible_with(used_n.units):  # a budget per 1,000 sq ft, and pounds: those are on 1,000 too
        budget, used_n = _on_a_thousand(budget), _on_a_thousand(used_n)
    left = budget - used_n
    if left < 0 * budget:
        raise ValueError("More is down already than the year's budget.")
    return left


def product_for_budget(budget: Any, used_n: Any, analysis: Analysis) -> Any:
    """Product that uses up what is left of a year's nitrogen.

    >>> product_for_budget(Q(4, "lb"), Q(2, "lb"), Analysis(50, 0, 0))
    <Quantity(4.0, 'pound')>

    Source: uiuc-n (yearly nitrogen by species).
    """
    return product_for(budget_left(budget, used_n), analysis, "N")


def nitrogen_of_all(rates: Sequence[Any], analyses: Sequence[Analysis]) -> Any:
    """Nitrogen of several products together, each rate with its analysis in order.

    Raises ValueError where there are not as many rates as analyses.

    >>> nitrogen_of_all([Q(3, "lb"), Q(4, "lb")], [Analysis(32, 0, 4), Analysis(24, 0, 11)])
    <Quantity(1.92, 'pound')>

    Source: psu-n-applied (pounds x share).
    """
    if len(rates) != len(analyses):
        raise ValueError(f"There are {len(rates)} rates and {len(analyses)} analyses; say one rate with each product.")
    return added([nutrient(rate, analysis, "N") for rate, analysis in zip(rates, analyses, strict=True)])


def budget_after(budget: Any, rates: Sequence[Any], analyses: Sequence[Analysis]) -> Any:
    """What several products leave of a year's nitrogen.

    >>> budget_after(Q(3, "lb"), [Q(3, "lb"), Q(4, "lb")], [Analysis(32, 0, 4), Analysis(24, 0, 11)])
    <Quantity(1.08, 'pound')>

    Raises ValueError where they are more than it. Source: uiuc-n (yearly nitrogen by species).
    """
    return budget_left(budget, nitrogen_of_all(rates, analyses))


def slow_part_of_label(analysis: Analysis, slow_nitrogen: Any) -> Any:
    """Share of a label's nitrogen that is slow: percent slow nitrogen / percent nitrogen.

    >>> slow_part_of_label(Analysis(25, 0, 5), Q(12, "percent")).to("percent")
    <Quantity(48.0, 'percent')>

    Raises ValueError where the label's nitrogen is less. Source: nj-yards.
    """
    share = slow_nitrogen.to("percent") / Q(analysis.nitrogen, "percent")
    if share.magnitude > 1:
        raise ValueError("A label holds no more slow nitrogen than nitrogen.")
    return share


def phosphorus_of_label(analysis: Analysis) -> Any:
    """Elemental phosphorus in a product, from its label's P2O5.

    >>> round(phosphorus_of_label(Analysis(18, 46, 0)), 1)
    <Quantity(20.1, 'percent')>

    Source: nofa-conversions (0.4364).
    """
    return phosphorus(Q(analysis.phosphate, "percent"))


def potassium_of_label(analysis: Analysis) -> Any:
    """Elemental potassium in a product, from its label's K2O.

    >>> round(potassium_of_label(Analysis(0, 0, 60)), 2)
    <Quantity(49.81, 'percent')>

    Source: nofa-conversions (0.8301).
    """
    return potassium(Q(analysis.potash, "percent"))


def slow_part_of(nitrogen: Any, slow_share: Any) -> Any:
    """Slow-release part of an amount of nitrogen.

    >>> slow_part_of(Q(1, "lb"), Q(30, "percent")).to("lb")
    <Quantity(0.3, 'pound')>

    Source: nj-yards (the law counts the slow share).
    """
    return nitrogen * slow_share.to("")


def quick_part_of(nitrogen: Any, slow_share: Any) -> Any:
    """Quick-release part of an amount of nitrogen: what is not slow.

    >>> quick_part_of(Q(1, "lb"), Q(30, "percent")).to("lb")
    <Quantity(0.7, 'pound')>

    Source: nj-yards.
    """
    return nitrogen - slow_part_of(nitrogen, slow_share)


def nitrogen_at(rate: Any, analysis: Analysis) -> Any:
    """Nitrogen that a rate of product puts down.

    >>> round(nitrogen_at(Q(3.2, "lb"), Analysis(28, 0, 3)), 3)
    <Quantity(0.896, 'pound')>

    Source: psu-n-applied (pounds x share).
    """
    return nutrient(rate, analysis, "N")


def phosphate_at(rate: Any, analysis: Analysis) -> Any:
    """Phosphate (P2O5) that a rate of product puts down.

    >>> round(phosphate_at(Q(7, "lb"), Analysis(18, 24, 12)), 3)
    <Quantity(1.68, 'pound')>

    Source: psu-n-applied (pounds x share).
    """
    return nutrient(rate, analysis, "P2O5")


def potash_at(rate: Any, analysis: Analysis) -> Any:
    """Potash (K2O) that a rate of product puts down.

    >>> round(potash_at(Q(4, "lb"), Analysis(10, 10, 20)), 3)
    <Quantity(0.8, 'pound')>

    Source: psu-n-applied (pounds x share).
    """
    return nutrient(rate, analysis, "K2O")
