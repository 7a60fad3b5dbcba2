"""Fertilizer: product over an area, and what an analysis makes of it in N, P2O5 and K2O."""

from __future__ import annotations

from typing import Any

from assistant.terms import Analysis

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
