"""Feed: product over an area, product for a nutrient, and the nutrients in a product."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from assistant.answer import ANSWERED, ASKS, REFUSED, Answer, Ask, Figure
from assistant.calculations.feed import (
    NUTRIENTS,
    NeedsDensity,
    NoNutrient,
    at_most,
    nutrient,
    per_area,
    phosphorus,
    potassium,
    product_for,
    spread_at,
)
from assistant.knowledge_base import row_of
from assistant.skills.area import total_of
from assistant.skills.area import working as area_working
from assistant.skills.packs import in_packs
from assistant.skills.turn import Turn
from assistant.terms import Amount, Analysis, Range, Slot, over_range

PER = "1000 sq_ft"
_OF_WATER = ("gal", "L")  # so much of them on an area is water and all


def amount(
    turn: Turn,
    area: Slot,
    rate: Slot,
    product: Slot | None = None,
    analysis: Slot | None = None,
    density: Slot | None = None,
    pack: Slot | None = None,
    form: Slot | None = None,
    tank: Slot | None = None,
    asked: Slot | None = None,
) -> Answer:
    """Product for an area at a rate of product, and what it puts down where the analysis is known or can be assumed."""
    say, size = turn.say, total_of(area)
    if not rate.amount.units:
        words = f"{rate.amount.text}: pounds, ounces, gallons, dollars? A rate needs its measure."
        return Answer(ASKS, words, asks=Ask("rate", "At what rate? For example 12 fl oz or 4 lb per 1,000 sq ft."))
    taken = product_taken(turn, product)
    said_form = str(form.value).partition(".")[2] if form else form_of(turn, taken)
    rate = replace(rate, value=_settled(rate.amount, said_form))
    unit, per = rate.amount.unit, rate.amount.per
    needed = over_range(spread_at, rate.q, size)
    unnamed = "spray mix" if unit in _OF_WATER else "product"
    name = turn.knowledge.name(str((tank or product).value)) if tank or product else unnamed  # type: ignore[union-attr]
    rows = [*area_working(area, size, say), f"{say(size, 'sq_ft')} x {say(rate.q, unit, per)} = {say(needed, unit)}"]
    figures = [turn.figure("product", needed, unit, of="product")]
    headline = f"{say(needed, unit)} of {name}"
    lines = _in_hand(turn, needed, unit)
    if rate.origin == "practice":
        lines.append(f"Rate: {say(rate.q, unit, per)} ({turn.short(rate.source)}).")
    if len(rate.amount.units) > 1:
        by_weight = over_range(spread_at, rate.amount.as_unit("oz").q, size)
        figures.append(turn.figure("product, if it is dry", by_weight, "oz", of="product"))
        lines.append(
            f"Fluid ounces were taken. If the product is dry, it is {say(by_weight, 'oz')} by weight. Say liquid or dry to settle it."
        )
    put, put_lines, assumed = _put_down(turn, rate.q, size, taken, analysis, density)
    lines += put_lines
    cited = [rate.source]
    if packs := in_packs(turn, needed, pack, asked):
        rows.append(packs.working)
        figures.insert(0 if packs.asked else 1, packs.figure)
        headline = f"{packs.words} of {name}, {say(needed, unit)}" if packs.asked else headline
    figures += put
    if product and rate.origin == "practice":
        other_figures, other_lines, other_source = _other_form(turn, product, size)
        figures += other_figures
        lines += other_lines
        cited.append(other_source)
    inputs = tuple(slot for slot in (area, rate, product, tank, form, analysis, density, *assumed, pack) if slot)
    cautions, laws = against_caps(turn, put)
    if tank:
        words = turn.knowledge.entry("cautions")
        lines.append("Worked from the rate that you read off the label; I know none.")
        cautions = (*cautions, words["label"], words["gear"], words["licence"])
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(lines),
        working=tuple(rows),
        inputs=inputs,
        sources=turn.cite(*cited, *laws),
        cautions=cautions,
    )


def for_nutrient(
    turn: Turn,
    analysis: Slot,
    nutrient_rate: Slot,
    area: Slot | None = None,
    product: Slot | None = None,
    density: Slot | None = None,
    pack: Slot | None = None,
    asked: Slot | None = None,
    asked_per: Slot | None = None,
) -> Answer:
    """Product that carries a wanted weight or rate of a nutrient."""
    say, label = turn.say, analysis.amount.analysis
    wanted = nutrient_rate.amount
    which = wanted.of or "N"
    in_all = wanted.kind == "mass"
    lines: list[str] = []
    if in_all and area:  # a pound of N and a lawn: the trade means a pound on each 1,000 sq ft
        whole = over_range(lambda one: product_for(one, label, which, density.q if density else None), wanted.q)
        lines.append(
            f"Taken as {say(wanted.q, wanted.unit)} of {which} on each 1,000 sq ft. If it is meant for the whole lawn: {say(whole, _unit_of(wanted, density))}."
        )
        wanted = replace(wanted, kind="rate", per=PER)
        in_all = False
    per_of = str(asked_per.value).partition(".")[2] if asked_per else ""
    if in_all and per_of in (PER, "acre", "ha"):  # how many ounces per 1,000 for 0.2 lb of N: on each of them
        wanted, in_all = replace(wanted, kind="rate", per=per_of), False
    unit, per = _unit_of(wanted, density), "" if in_all else wanted.per or PER
    try:
        rate = over_range(lambda one: product_for(one, label, which, density.q if density else None), wanted.q)
    except NoNutrient:
        words = say(wanted.q, wanted.unit, wanted.per)
        return Answer(REFUSED, f"A {label} holds no {which}, so no amount of it gives {words} of {which}.")
    heavy = f" / {say(density.q, density.amount.unit, density.amount.per)}" if density else ""
    rows = [
        f"{say(wanted.q, wanted.unit, wanted.per)} of {which} / {label.share(which):.4g}{heavy} = {say(rate, unit, per)} of {label}"
    ]
    figures = [turn.figure("product", rate, unit, per, of="product")]
    headline = f"{say(rate, unit, per)} of {label}"
    size = total_of(area) if area and not in_all else None
    if area and size is not None:
        needed = over_range(spread_at, rate, size)
        rows += [*area_working(area, size, say), f"{say(size, 'sq_ft')} x {say(rate, unit, per)} = {say(needed, unit)}"]
        figures.insert(0, turn.figure("product", needed, unit, of="product"))
        headline = f"{say(needed, unit)} of {label}"
        lines = [*_in_hand(turn, needed, unit), *lines]
        if packs := in_packs(turn, needed, pack, asked):
            rows.append(packs.working)
            figures.insert(0 if packs.asked else 1, packs.figure)
            headline = f"{packs.words} of {label}, {say(needed, unit)}" if packs.asked else headline
    if nutrient_rate.origin == "practice":
        lines.append(
            f"For {say(wanted.q, wanted.unit, wanted.per)} of {which} ({turn.short(nutrient_rate.source)}); say another rate to have it otherwise."
        )
    put, put_lines, _ = ([], [], []) if in_all else _put_down(turn, rate, size, "", analysis, density)
    cautions, laws = against_caps(turn, put)
    return Answer(
        ANSWERED,
        headline,
        figures=(*figures, *put),
        lines=(*lines, *put_lines),
        working=tuple(rows),
        inputs=tuple(slot for slot in (analysis, nutrient_rate, area, density, pack) if slot),
        sources=turn.cite(nutrient_rate.source, *laws),
        cautions=cautions,
    )


def _unit_of(wanted: Amount, density: Slot | None) -> str:
    """The measure of the product: fluid ounces of a liquid by the thousand, gallons by the acre; else as was said."""
    if density is None:
        return wanted.unit if wanted.unit in ("kg", "g", "oz") else "lb"
    return "gal" if wanted.per == "acre" else "floz"


def nutrients(
    turn: Turn,
    quantity: Slot,
    analysis: Slot,
    area: Slot | None = None,
    density: Slot | None = None,
    nutrient: Slot | None = None,
    bags: Slot | None = None,
    product: Slot | None = None,
    form: Slot | None = None,
    pure: Slot | None = None,
) -> Answer:
    """N, P2O5 and K2O in an amount of product, in all and per 1,000 sq ft."""
    say, label = turn.say, analysis.amount.analysis
    held = quantity.amount
    if len(held.units) > 1 and density is None:
        held = held.as_unit("oz")
    total = held.q if bags is None else over_range(lambda one, count: one * count, held.q, float(bags.amount.low))
    asked = nutrient.value.partition(".")[2] if nutrient else "N"
    order = [asked, *[one for one in NUTRIENTS if one != asked]]
    try:
        inside = {
            one: over_range(lambda amount, one=one: nutrient_weight(amount, label, one, density), total)
            for one in order
        }
    except NeedsDensity:
        ask = Ask(
            "density", "What does a gallon of it weigh? The label or safety data sheet prints it, in pounds per gallon."
        )
        return Answer(ASKS, "A liquid's nutrients hang on its weight.", asks=ask, inputs=(quantity, analysis))
    unit = "kg" if held.unit in ("kg", "g", "L", "mL") else "lb"
    size = total_of(area) if area else None
    in_all = [turn.figure(f"{one} in all", inside[one], unit, of=one) for one in order]
    lines = [_listed(turn, inside, unit, "") + " in all."]
    figures = list(in_all)
    headline = f"{say(inside[asked], unit)} of {asked}"
    heavy = f" x {say(density.q, density.amount.unit, density.amount.per)}" if density and held.kind == "volume" else ""
    rows = [f"{say(total, held.unit)}{heavy} x {label.share(asked):.4g} = {say(inside[asked], unit)} of {asked}"]
    if len(quantity.amount.units) > 1 and density is None:
        lines.append("Ounces were taken by weight. For a liquid, say what a gallon of it weighs.")
    put: list[Figure] = []
    if size is not None:
        spread = {one: over_range(per_area, inside[one], size) for one in order}
        put = [turn.figure(one, spread[one], unit, PER, of=one) for one in order]
        figures = [*put, *in_all]
        headline = f"{say(spread[asked], unit, PER)} of {asked}, {say(inside[asked], unit)} in all"
        lines = [_listed(turn, spread, unit, PER) + ".", lines[0]]
        rows.append(f"{say(inside[asked], unit)} / {say(size, 'sq_ft')} = {say(spread[asked], unit, PER)}")
    if pure and size is None:
        which = str(pure.value).partition(".")[2]
        oxide, formula = {"P": ("P2O5", phosphorus), "K": ("K2O", potassium)}[which]
        held_in = over_range(formula, inside[oxide])
        figures.insert(0, turn.figure(which, held_in, unit, of=which))
        headline = f"{say(held_in, unit)} of elemental {which}"
        rows.append(f"{say(inside[oxide], unit)} of {oxide} holds {say(held_in, unit)} of {which}")
    inputs = tuple(slot for slot in (quantity, bags, analysis, area, density) if slot)
    cautions, laws = against_caps(turn, put)
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(lines),
        working=tuple(rows),
        inputs=inputs,
        sources=turn.cite(*laws),
        cautions=cautions,
    )


def nutrient_weight(amount: Any, label: Analysis, which: str, density: Slot | None) -> Any:
    """Weight of a nutrient in an amount, with the density only where one is known."""
    return nutrient(amount, label, which, density.q if density else None)


# what is put down ------------------------------------------------------------------------------------------------------


def product_taken(turn: Turn, product: Slot | None) -> str:
    """The product's key; where a name may mean two forms, the first, which the answer says."""
    if product is None:
        return ""
    key = str(product.value).partition(".")[2]
    either = turn.knowledge.entry(f"products.{key}.either")
    return either[0] if either else key


def form_of(turn: Turn, key: str) -> str:
    return str(turn.knowledge.entry(f"products.{key}.form") or "") if key else ""


def _settled(rate: Amount, form: str) -> Amount:
    """An open ounce by the form of the product: fluid for a liquid, weight for a dry one."""
    if len(rate.units) < 2 or not form:
        return rate
    return rate.as_unit("floz" if form == "liquid" else "oz")


def _put_down(
    turn: Turn, rate: Any, size: Any, key: str, analysis: Slot | None, density: Slot | None
) -> tuple[list[Figure], list[str], list[Slot]]:
    """Nutrients per 1,000 sq ft (and in all) of a rate of product: by its label, or by a stand-in that is said to be one."""
    if isinstance(rate, Range):
        dry = rate.low.check("[mass] / [area]")
    else:
        dry = rate.check("[mass] / [area]")
    assumed: list[Slot] = []
    example = turn.knowledge.entry(f"products.{key}.example") if key else None
    if analysis is None and example:
        values = tuple(float(value) for value in example["analysis"])
        analysis = Slot(
            "analysis",
            Amount("analysis", values, values),
            "assumed",
            why="a stand-in; say the three numbers of your label",
        )
        assumed.append(analysis)
    if analysis is None:
        return [], [], []
    if not dry and density is None:
        if not example or "density" not in example:
            return [], ["What it puts down needs its weight per gallon, off the label."], assumed
        row = row_of(example["density"])
        density = Slot(
            "density", row.amount, "assumed", why="a stand-in; say what a gallon of yours weighs", source=row.source
        )
        assumed.append(density)
    label = analysis.amount.analysis
    heavy = None if dry else density
    spread = {
        one: over_range(lambda amount, one=one: nutrient_weight(amount, label, one, heavy), rate) for one in NUTRIENTS
    }
    figures = [turn.figure(one, spread[one], "lb", PER, of=one) for one in NUTRIENTS]
    line = f"Puts down {_listed(turn, spread, 'lb', PER)}"
    if size is not None:
        totals = {one: over_range(spread_at, spread[one], size) for one in NUTRIENTS}
        figures += [turn.figure(f"{one} in all", totals[one], "lb", of=one) for one in NUTRIENTS]
        line += f", {_listed(turn, totals, 'lb', '')} in all"
    if assumed:
        weight = f" at {turn.say(density.q, density.amount.unit, density.amount.per)}" if density and not dry else ""
        line += f", if it is a {label}{weight} (assumed: read yours off the label)"
    else:
        line += f" ({label})"
    return figures, [line + "."], assumed


def _listed(turn: Turn, amounts: dict[str, Any], unit: str, per: str) -> str:
    """`0.9 lb N, 1.2 lb P2O5 and 0.6 lb K2O per 1,000 sq ft`."""
    words = (
        [f"{turn.say(value, unit)} {one}" for one, value in amounts.items()]
        if not per
        else [f"{_first(turn, value, unit, per)} {one}" for one, value in amounts.items()]
    )
    text = ", ".join(words[:-1]) + " and " + words[-1]
    return text + (" per" + turn.say(next(iter(amounts.values())), unit, per).partition(" per")[2] if per else "")


def _first(turn: Turn, value: Any, unit: str, per: str) -> str:
    return turn.say(value, unit, per).partition(" per")[0]


def _other_form(turn: Turn, product: Slot, size: Any) -> tuple[list[Figure], list[str], str]:
    """Beside the form that was taken, the other one that the same word may mean."""
    key = str(product.value).partition(".")[2]
    either = turn.knowledge.entry(f"products.{key}.either")
    if not either:
        return [], [], ""
    other = either[1]
    row = turn.knowledge.rows(f"products.{other}.rate")[0]
    needed = over_range(spread_at, row.amount.q, size)
    put, put_lines, _ = _put_down(turn, row.amount.q, size, other, None, None)
    first, second = turn.knowledge.name(f"product.{either[0]}"), turn.knowledge.name(f"product.{other}")
    figures = [
        turn.figure(second, needed, row.amount.unit, of="product"),
        *[replace(figure, label=f"{figure.label}, {second}") for figure in put],
    ]
    label = Analysis(*turn.knowledge.entry(f"products.{other}.example.analysis"))
    lines = [
        f"A {first} was taken first. As a {second}: {turn.say(needed, row.amount.unit)} of a {label} at {turn.row_words(row)}.",
        *[line.partition(", if it is")[0] + "." for line in put_lines],
        f'Say "{second}", or the rate and the three numbers of your label, to have it otherwise.',
    ]
    return figures, lines, row.source


def _in_hand(turn: Turn, needed: Any, unit: str) -> list[str]:
    text = turn.say.in_hand(needed, unit)
    return [f"That is {text}."] if text else []


# nitrogen against caps -------------------------------------------------------------------------------------------------


def against_caps(turn: Turn, put: list[Figure]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Where the nitrogen per 1,000 sq ft stands against state caps and what young grass takes: words, and sources."""
    found = next((figure for figure in put if figure.of == "N" and figure.per), None)
    if found is None:
        return (), ()
    from assistant.units import Q, quantity_of

    rate = Q(found.high, found.unit) / quantity_of(found.per)
    said = turn.say(rate, "lb", PER)
    cautions: list[str] = []
    sources: list[str] = []
    own = turn.lawn.facts.get("state") if turn.lawn else None
    where = turn.knowledge.name(str(own.value)) if own else ""
    caps = [row for row in turn.knowledge.rows("feeding.nitrogen_cap") if where in ("", row.where)]
    over = [row for row in caps if not at_most(rate, row.amount.q)]
    at = [row for row in caps if row not in over and not at_most(rate, row.amount.q, -0.005)]
    for words, rows in (("over", over), ("at", at)):
        if rows:
            places = ", ".join(row.where for row in rows)
            cautions.append(
                f"{said} of N is {words} the legal cap of {turn.say(rows[0].amount.q, 'lb', PER)} an application in {places}. Check your state's law again before spreading."
            )
            sources += [row.source for row in rows]
    for path, words in (
        ("feeding.seedling_quick_nitrogen", "that seedlings take at once, if all of it is quick-release"),
        ("feeding.most_soluble_at_once", "of soluble N that any lawn takes at once: split it"),
    ):
        row = turn.knowledge.rows(path)[0]
        if not at_most(rate, row.amount.q):
            cautions.append(
                f"{said} of N is over the {turn.say(row.amount.q, 'lb', PER).partition(' per')[0]} {words} ({turn.short(row.source)})."
            )
            sources.append(row.source)
    return tuple(cautions), tuple(sources)
