"""The shelf: what came in, what is left after what went down, and what to buy for the rest of the programs."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, REFUSED, Answer, Ask, Figure
from assistant.knowledge_base import row_of
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.shelf import Item, shelf_of, used_of
from assistant.skills.area import total_of
from assistant.skills.lawns import plans
from assistant.skills.turn import Turn
from assistant.terms import Amount, Range, Slot, capital, high_end, over_range
from assistant.units import Q

# `2 bags, 60 lb in all`: no size of a bag
_IN_ALL = re.compile(r"\b(in all|all told|altogether|together|total|left)\b")
_ANEW = ("have", "left", "on hand", "in the", "shelf")  # a count of what is there, not of what came in
_ON_A_SHELF = {"shelf_word", "stored_word"}


def stock(
    turn: Turn,
    item: Slot | None = None,
    analysis: Slot | None = None,
    density: Slot | None = None,
    pack: Slot | None = None,
    money: Slot | None = None,
    price: Slot | None = None,
    bags: Slot | None = None,
    quantity: Slot | None = None,
) -> Answer:
    """Keep what a label says and how much is there; undo takes it back like anything else."""
    if bags and quantity and not pack and not _IN_ALL.search(turn.parse.text.lower()):
        pack, quantity = replace(quantity, name="pack"), None  # 6 bags of 24-0-6, 50#
    if item is None and not turn.parse.terms & _ON_A_SHELF:
        return Answer(ASKS, "", asks=Ask("item", "Which product?"))
    item = item or Slot("item", "product.fertilizer")  # `3 bags of 10-10-10 in the shed`
    key = _one_of(turn, str(item.value), pack, quantity, density)
    if key is None:
        name = turn.knowledge.name(str(item.value))
        return Answer(ASKS, "", asks=Ask("item", f"Liquid {name} or granular {name}?"))
    facts = {"analysis": analysis, "density": density, "pack": pack}
    body: dict[str, Any] = {"item": key, "facts": {name: _plain(slot) for name, slot in facts.items() if slot}}
    for cost in (price, money):
        if cost:
            body["facts"]["price"] = _plain(cost)
    held = turn.shelf.get(key, Item(key))
    amount = _amount(quantity, bags, pack or held.facts.get("pack"))
    if bags and not amount:
        return Answer(ASKS, "", asks=Ask("pack", "What does one hold? For example 2.5 gal or 50 lb."))
    if amount:
        words = turn.parse.text.lower()
        body |= {"quantity": amount.to_plain(), "anew": any(one in words for one in _ANEW)}
    day = turn.now.day.isoformat()
    event = Event(kinds.STOCKED, "", turn.parse.text, day, day, body)
    line = _line(turn, shelf_of((*turn.shelf_events(), event))[key])
    return Answer(RECORDED, f"{line}.", inputs=tuple(slot for slot in facts.values() if slot), events=(event,))


def tool(turn: Turn, tool: Slot, tank_volume: Slot | None = None, carrier: Slot | None = None) -> Answer:
    """Keep what a sprayer or spreader holds and what it puts out; the loads are then told in tanks."""
    facts = {name: _plain(slot) for name, slot in (("tank", tank_volume), ("carrier", carrier)) if slot}
    if not facts:
        return Answer(ASKS, "", asks=Ask("carrier", "What does it hold, and what does it put out per 1,000 sq ft?"))
    day = turn.now.day.isoformat()
    event = Event(kinds.STOCKED, "", turn.parse.text, day, day, {"item": str(tool.value), "facts": facts})
    line = _line(turn, shelf_of((*turn.shelf_events(), event))[str(tool.value)])
    return Answer(RECORDED, f"{line}.", inputs=tuple(slot for slot in (tank_volume, carrier) if slot), events=(event,))


def shelf(turn: Turn, item: Slot | None = None) -> Answer:
    """Every product of the shelf with its label and what is left."""
    items = turn.shelf
    if item is not None:
        wanted = turn.knowledge.either(str(item.value))
        items = {key: one for key, one in items.items() if key in wanted}
    if not items:
        what = f"No {turn.knowledge.name(str(item.value))}" if item else "Nothing"
        hint = "Tell me what you have, for example: I have 3 gal of liquid starter."
        return Answer(REFUSED, f"{what} is on record as being on the shelf. {hint}")
    lines = [_line(turn, one) for one in items.values()]
    figures = []
    for key, one in items.items():
        left = left_of(turn, one)
        if left is not None:
            figures.append(turn.figure(f"left, {turn.knowledge.name(key)}", left.total, left.unit, of="product"))
    if len(lines) == 1:
        return Answer(ANSWERED, lines[0], figures=tuple(figures))
    return Answer(ANSWERED, f"On the shelf: {len(lines)} products", figures=tuple(figures), lines=tuple(lines))


@dataclass(frozen=True, slots=True)
class Left:
    """How much of a product is left, in the unit it was counted in; `guessed` where some use was not told in amounts."""

    total: Any
    unit: str
    guessed: bool = False


def left_of(turn: Turn, item: Item) -> Left | None:
    """What came in less what went down since it was last counted; none where nothing was counted."""
    if not item.counted:
        return None
    anew = max((place for place, (_, fresh, _) in enumerate(item.counted) if fresh), default=0)
    since = item.counted[anew][0]
    unit = item.counted[anew][2].unit
    total = item.counted[anew][2].q
    for _, _, amount in item.counted[anew + 1 :]:
        total = over_range(lambda one, more: one + more, total, amount.q)
    guessed = False
    for state in turn.states():
        for day, row in used_of(state.live):
            if row["what"] == item.id and day >= since:
                total = over_range(lambda one, less: one - less, total, Q(row["high"], row["unit"]))
                guessed = guessed or not row["said"]
    most = high_end(total)
    if unit == "gal" and most < Q(1, "gal"):  # a jug that is nearly empty is measured in ounces
        unit = "floz"
        total = over_range(lambda one: one.to("floz"), total)
    return Left(total, unit, guessed)


def buy(turn: Turn, place: Slot | None = None) -> Answer:
    """What the open steps still take, less what is on the shelf, in packs with leftover and cost."""
    needs, open_ones = needs_of(turn)
    if not needs and not any(state.program for state in turn.states()):
        ways = (
            'Begin one and I count it all: "start the renovation on sep 12", with the size of the lawn and its grass.',
            'Or ask for one thing at a time: "how much tall fescue for 4,000 sq ft", "how much starter for 4,000 sq ft".',
        )
        return Answer(ANSWERED, "What to buy follows from a lawn's program, and none runs yet.", lines=ways)
    if not needs:
        words = (
            f"Tell me the area of {', '.join(open_ones)} and I can."
            if open_ones
            else "No open step puts anything down."
        )
        return Answer(ANSWERED, "Nothing to buy as far as I know.", lines=(words,))
    items = turn.shelf
    lines, figures, total = [], [], 0.0
    for (key, unit), need in needs.items():
        line, more, cost = _to_buy(turn, key, unit, need, items.get(key, Item(key)))
        lines.append(line)
        figures += more
        total += cost
    if open_ones:
        lines.append(f"Without an area, so not counted: {', '.join(open_ones)}.")
    if total:
        figures.append(Figure("cost", low=total, high=total, unit="USD"))
    return Answer(
        ANSWERED,
        f"For the rest of the program{'s' if turn.lawn is None else ''}: {len(lines)} products{f', ${total:,.2f} as far as prices are known' if total else ''}",
        figures=tuple(figures),
        lines=tuple(lines),
        sources=turn.cite(*dict.fromkeys(source for need in needs.values() for source in need.sources)),
    )


@dataclass(slots=True)
class Need:
    """How much of a product the open steps take, and whose figure that is."""

    total: Any
    sources: list[str]


def needs_of(turn: Turn) -> tuple[dict[tuple[str, str], Need], list[str]]:
    """(product, unit) -> need over the open steps, of the lawn in hand or of all; and lawns whose area is not known.

    A rate of nitrogen becomes product where the product's analysis is known, else it stays pounds of nitrogen.
    """
    from assistant.calculations.feed import product_for

    needs: dict[tuple[str, str], Need] = {}
    open_ones: dict[str, None] = {}
    for state, plan in plans(turn):
        if turn.lawn is not None and state.name != turn.lawn.name:
            continue
        area = state.facts.get("area")
        for step in plan.steps():
            if not step.open or not (step.amounts or step.kind == "sow"):
                continue
            if area is None:
                open_ones[state.name] = None
                continue
            rows = [
                (row["what"], (one := row_of(row)).amount.q, one.amount.unit, one.amount.of, one.source)
                for row in step.amounts
            ]
            if step.kind == "sow":
                rows += [(what, rate, "lb", "seed", source) for what, rate, source in plan.seed()]
            for what, rate, unit, of, source in rows:
                amount = over_range(lambda ground, each: ground * each, total_of(area), rate)
                key = (what, unit)
                label = turn.shelf.get(what, Item(what)).facts.get("analysis")
                if of == "N":
                    key = (what, "lb") if label else (f"{what} N", "lb")
                    if label:
                        amount = over_range(lambda n, grade=label.amount.analysis: product_for(n, grade, "N"), amount)
                held = needs.setdefault(key, Need(Q(0, key[1]), []))
                held.total = over_range(lambda one, more: one + more, held.total, amount)
                held.sources.append(source)
    return needs, list(open_ones)


def _to_buy(turn: Turn, key: str, unit: str, need: Need, item: Item) -> tuple[str, list[Figure], float]:
    """One product: need, what is there, what lacks, packs, what is left over, cost."""
    from assistant.calculations.feed import packs

    nutrient = key.endswith(" N")
    name = turn.knowledge.name(key.removesuffix(" N"))
    name = f"nitrogen as {name}" if nutrient else name
    line = f"{capital(name)}: {turn.say(need.total, unit)} to go down"
    left = left_of(turn, item)
    lacks = need.total
    if left is not None:
        line += f", {turn.say(left.total, unit)} on the shelf"
        lacks = over_range(lambda one, there: one - there, need.total, left.total)
    most = high_end(lacks)
    if most.m_as(unit) <= 0:
        return f"{line}; enough is there.", [turn.figure(f"to buy, {name}", Q(0, unit), unit)], 0.0
    line += f", buy {turn.say(most, unit)}" if left is not None else ""
    figures = [turn.figure(f"to buy, {name}", most, unit, of="N" if nutrient else "product")]
    pack = item.facts.get("pack")
    if pack is None or nutrient:
        hint = "" if nutrient else "; tell me the size of the bag or jug and I count them"
        return f"{line}{hint}.", figures, 0.0
    each = pack.amount.q
    count = packs(most, each)
    over = (each * count - most).to(unit)
    line += f": {count} x {turn.say(each, pack.amount.unit)}, {turn.say(over, unit)} left over"
    figures.append(Figure(f"packs, {name}", low=float(count), high=float(count)))
    price = item.facts.get("price")
    cost = float(price.amount.low) * count if price else 0.0
    return f"{line}{f', ${cost:,.2f}' if price else ''}.", figures, cost


def _line(turn: Turn, item: Item) -> str:
    name = turn.knowledge.name(item.id)
    said = []
    facts = item.facts
    if "analysis" in facts:
        said.append(str(facts["analysis"].amount.analysis))
    if "density" in facts:
        heavy = facts["density"].amount
        said.append(turn.say(heavy.q, heavy.unit, heavy.per))
    if "pack" in facts:
        said.append(f"packs of {turn.say(facts['pack'].q, facts['pack'].amount.unit)}")
    if "price" in facts:
        said.append(f"${facts['price'].amount.low:,.2f} each")
    if "tank" in facts:
        said.append(f"holds {turn.say(facts['tank'].q, facts['tank'].amount.unit)}")
    if "carrier" in facts:
        rate = facts["carrier"].amount
        said.append(f"puts out {turn.say(rate.q, rate.unit, rate.per)}")
    left = left_of(turn, item)
    if left is not None:
        low = left.total.low if isinstance(left.total, Range) else left.total
        there = turn.say(left.total, left.unit) if low.magnitude >= 0 else "nothing"
        said.append(f"{there} left{', some of it worked out from the rate' if left.guessed else ''}")
    return f"{capital(name)}: {', '.join(said) or 'nothing known'}"


def _one_of(turn: Turn, value: str, *measured: Slot | None) -> str | None:
    """Which of two forms is meant: by the measure it is told in, by the only one on the shelf."""
    keys = turn.knowledge.either(value)
    if len(keys) == 1:
        return keys[0]
    found = {slot.amount.kind for slot in measured if slot}
    form = "liquid" if "volume" in found or "mix" in found else "dry" if "mass" in found else ""
    fitting = [key for key in keys if turn.knowledge.entry(f"products.{key.partition('.')[2]}.form") == form]
    there = [key for key in keys if key in turn.shelf]
    chosen = fitting or there
    return chosen[0] if len(chosen) == 1 else None


def _amount(quantity: Slot | None, bags: Slot | None, pack: Slot | None) -> Amount | None:
    """How much is there: said as such, or so many packs of a size."""
    if bags and pack:
        count, each = bags.amount, pack.amount
        low, high = float(count.low) * float(each.low), float(count.high) * float(each.high)
        return Amount(each.kind, low, high, each.units, text=count.text)
    return quantity.amount if quantity and not bags else None


def _plain(slot: Slot) -> dict[str, Any]:
    return slot.amount.to_plain()
