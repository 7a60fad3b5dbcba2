"""Several products in one tank or on one area: each by its own rate."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask, Figure
from assistant.calculations.feed import spread_at
from assistant.calculations.spray import area_of_tank, product_in_tank
from assistant.skills.area import total_of
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, over_range


def together(
    turn: Turn,
    rates: Slot,
    tank_size: Slot | None = None,
    carrier: Slot | None = None,
    area: Slot | None = None,
    asked: Slot | None = None,
) -> Answer:
    """How much of each product goes into a full tank, or on an area."""
    if area is None and tank_size is None:
        return Answer(ASKS, "", asks=Ask("area", "For how big an area, or how big a tank?"), inputs=(rates,))
    if area is None and carrier is None:
        words = "How much spray goes on an acre or 1,000 sq ft (the carrier)?"
        return Answer(ASKS, "", asks=Ask("carrier", words), inputs=(rates,))
    figures: list[Figure] = []
    parts: list[str] = []
    rows: list[str] = []
    open_ones = False
    for place, rate in enumerate(rates.amounts, 1):
        needed, row = _of_one(turn, rate, tank_size, carrier, area)
        what = f"product {place}"
        open_ones = open_ones or len(rate.units) > 1
        figures.append(turn.figure(what, needed, rate.unit, of="product"))
        parts.append(f"{turn.say(needed, rate.unit)} of the one at {turn.say(rate.q, rate.unit, rate.per)}")
        rows.append(f"{row} = {turn.say(needed, rate.unit)}")
    lines = []
    if tank_size and carrier and area is None:
        covers = over_range(area_of_tank, tank_size.q, carrier.q)
        figures.append(turn.figure("area of a tank", covers, "sq_ft"))
        lines.append(f"The tank covers {turn.say(covers, 'sq_ft')}.")
    if open_ones:
        lines.append("Ounces were taken as fluid. A dry product is weighed: the same number of ounces, by weight.")
    lines.append('In which order: ask "what order do I mix products in the tank".')
    cautions = turn.knowledge.entry("cautions")
    return Answer(
        ANSWERED,
        "; ".join(parts),
        figures=tuple(figures),
        lines=tuple(lines),
        working=tuple(rows),
        inputs=tuple(slot for slot in (rates, tank_size, carrier, area) if slot),
        cautions=(cautions["label"], cautions["gear"]),
        sources=turn.cite("mu-g1272"),
    )


def _of_one(
    turn: Turn, rate: Amount, tank_size: Slot | None, carrier: Slot | None, area: Slot | None
) -> tuple[Any, str]:
    """What one product comes to, and the sum behind it."""
    said = turn.say(rate.q, rate.unit, rate.per)
    if area is not None:
        size = total_of(area)
        return over_range(spread_at, rate.q, size), f"{turn.say(size, 'sq_ft')} x {said}"
    assert tank_size is not None
    assert carrier is not None
    tank, goes = tank_size.amount, carrier.amount
    words = f"{turn.say(tank.q, tank.unit)} / {turn.say(goes.q, goes.unit, goes.per)} x {said}"
    return over_range(product_in_tank, tank.q, goes.q, rate.q), words


def order(turn: Turn) -> Answer:
    """In which order products go into the tank."""
    found = turn.knowledge.entry("mixing.order")
    cautions = turn.knowledge.entry("cautions")
    return Answer(
        ANSWERED,
        "Water, dry products, flowables, emulsions, solutions, surfactant; the label's own order stands above this",
        lines=(*(f"{place}. {step}" for place, step in enumerate(found["steps"], 1)), found["trial"]),
        cautions=(cautions["label"], cautions["gear"]),
        sources=turn.cite(found["source"], found["also"]),
    )
