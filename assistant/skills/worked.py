"""Questions that one formula answers. The intent's file names it under `works`; no code of its own is needed.

    works:
      formula: area.circle                     a function of assistant/calculations
      gives: {label: area, unit: sq_ft}        what it gives, and in which measure where none was asked for; `rounded:
                                               up` where it is only had whole, such as bags and passes
      working: "3.1416 x ({diameter} / 2)^2 = {result}"
      says: "{result}"                         the headline, where it is not just the result
      also: [{formula: ..., gives: ...}]       further figures, in the same form; `bare: price` is worked out only where
                                               that slot does not say per what it is
      else_asks: {slot: pack, words: ...}      what is asked for where nothing comes of it without that slot
      notes: [...]                             lines under the headline; {slot} and {result} are filled in
      cautions: [label, gear]                  keys of cautions.yaml

A formula gets the slots whose names are its parameters, as quantities; rows of values as lists, names as words.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from itertools import product
from math import ceil
from typing import Any

import pint

from assistant.answer import ANSWERED, ASKS, REFUSED, Answer, Ask, Figure
from assistant.skills.packs import asks_for_packs, in_packs
from assistant.skills.turn import Turn
from assistant.terms import Amount, Slot, capital, high_end, over_range
from assistant.units import Q, Say, quantity_of
from assistant.wording import METRIC

_WIDE = ("acre", "ha")  # denominators of a rate that the answer keeps where a unit alone is asked for
_ON_SMALL = {("kg", "m**2"): "g"}  # what a square metre gets


def by_formula(turn: Turn, works: dict[str, Any], **slots: Slot | None) -> Answer:
    """The answer of the formula that an intent's file names."""
    filled = {name: slot for name, slot in slots.items() if slot is not None}
    below = next((one for slot in filled.values() for one in _below_zero(slot)), None)
    if below is not None:
        return Answer(
            REFUSED, f"{below.text} is below zero, and it cannot be. Nothing was recorded.", inputs=_inputs(filled)
        )
    try:
        formulas = [works, *(one for one in works.get("also", ()) if _is_bare(filled, one.get("bare", "")))]
        results = [(entry, _result(entry["formula"], filled)) for entry in formulas]
    except Impossible as problem:
        return Answer(REFUSED, f"{problem} Nothing was recorded.", inputs=_inputs(filled))
    results = [
        (entry, whole(result) if entry["gives"].get("rounded") else result)
        for entry, result in results
        if result is not None and _fits(result, entry["gives"]["unit"], entry["gives"].get("per", ""))
    ]
    lacking = works.get("else_asks")
    if not results and lacking and lacking["slot"] not in filled:
        return Answer(ASKS, "", asks=Ask(lacking["slot"], lacking["words"]), inputs=_inputs(filled))
    if not results:
        return Answer(
            REFUSED,
            "Those figures do not go together; say them again with their units. Nothing was recorded.",
            inputs=_inputs(filled),
        )
    asked = _measure_asked(filled)
    order = _asked_first(results, asked)
    figures, words = [], {}
    for entry, result in order:
        say, unit, per = _measure(turn, entry["gives"], result, asked)
        figures.append(_figure(turn, entry["gives"], result, say, unit, per))
        words[entry["gives"]["label"]] = say(result, unit, per)
    first = order[0][0]
    said = {label.replace(" ", "_"): text for label, text in words.items()}
    said |= {name: _said(turn, slot) for name, slot in filled.items()}
    said["result"] = words[first["gives"]["label"]]
    of = f" of {first['gives']['of']}" if first["gives"].get("of") else ""
    says = first.get("says", "{result}" + of)
    taken = [slot for slot in filled.values() if slot.origin == "practice"]
    sources = [works.get("source", ""), *(slot.source for slot in taken)]
    other = _by_weight(turn, works, filled, order[0])
    if other:
        figures.append(other[0])
    cautions = tuple(turn.knowledge.entry(f"cautions.{key}") for key in works.get("cautions", ()))
    lines = [_filled(note, said) for note in works.get("notes", ())]
    lines += [f"{capital(label)}: {text}." for label, text in words.items() if label != first["gives"]["label"]]
    if other:
        lines.append(other[1])
    if first["gives"]["label"] == "area" and any(name.type in ("species", "product") for name in turn.parse.names):
        lines.append("That is the area. Ask for the seed or the product with it next.")
    hand = _in_hand(turn, first["gives"], order[0][1], asked)
    headline = _filled(says, said)
    written_out = _rows(first.get("working", works.get("working")))
    working = [_filled(row, said) for row in written_out]
    besides = _besides(first.get("formula", works["formula"]), filled, written_out, said)
    working[-1:] = [f"{row}{besides}" for row in working[-1:]]
    if _is_in_all(first):
        packs = in_packs(turn, order[0][1], filled.get("pack"), filled.get("asked"), first["gives"].get("of", ""))
        if packs:
            working.append(packs.working)
            figures.insert(0 if packs.asked else 1, packs.figure)
            headline = f"{packs.words}: {headline}" if packs.asked else headline
        elif "pack" not in filled and (called := asks_for_packs(filled.get("asked"))):
            lines.append(f"Say what one {called} holds, and I count the {called}s.")
    return Answer(
        ANSWERED,
        headline,
        figures=tuple(figures),
        lines=tuple(line for line in [hand, *lines] if line),
        working=tuple(working),
        inputs=_inputs(filled),
        cautions=cautions,
        sources=turn.cite(*sources),
    )


def _is_bare(filled: dict[str, Slot], name: str) -> bool:
    """True where a price does not say of what it is, or where a formula does not ask for such a one."""
    return not name or name not in filled or not filled[name].amount.per


def _is_in_all(entry: dict[str, Any]) -> bool:
    """True for a formula that gives an amount to be bought, in no packs of its own."""
    return not entry["gives"].get("per") and not entry["gives"].get("rounded")


def whole(result: Any) -> Any:
    """What is bought or done whole: bags, rolls, passes; rounded up, but not for the dust of the arithmetic."""
    return over_range(lambda one: Q(float(ceil(round(one.to("").magnitude, 6))), ""), result)


def _below_zero(slot: Slot) -> list[Amount]:
    return [one for one in slot.amounts if one.kind != "temperature" and isinstance(one.low, float) and one.low < 0]


class Impossible(ValueError):
    """Inputs that a formula cannot take, in one sentence."""


def formula_of(name: str) -> Callable[..., Any]:
    """`area.circle` as the function it names."""
    topic, _, function = name.partition(".")
    found: Callable[..., Any] = getattr(import_module(f"assistant.calculations.{topic}"), function)
    return found


def _result(name: str, slots: dict[str, Slot]) -> Any:
    """The formula's result, trying each measure of an amount that is still open between two; None where inputs lack."""
    formula = formula_of(name)
    parameters = inspect.signature(formula).parameters
    lacking = [one for one, spec in parameters.items() if one not in slots and spec.default is spec.empty]
    if lacking:
        return None
    names = [one for one in parameters if one in slots]
    trouble: Exception | None = None
    for values in product(*(_readings(slots[one]) for one in names)):
        try:
            return over_range(lambda *given: formula(**dict(zip(names, given, strict=True))), *values)
        except pint.DimensionalityError as problem:
            trouble = problem
        except ZeroDivisionError as problem:
            raise Impossible("One of those figures is zero, and it cannot be.") from problem
        except ValueError as problem:
            raise Impossible(str(problem)) from problem
    raise Impossible("Those figures do not go together; say them again with their units.") from trouble


def _readings(slot: Slot) -> list[Any]:
    """What a slot may stand for in a formula: one value, or one for each unit it is open between."""
    value = slot.value
    if isinstance(value, tuple) and slot.name == "area":
        from assistant.skills.area import total_of

        return [total_of(slot)]
    if isinstance(value, tuple):
        return [[one.analysis if one.kind == "analysis" else one.q for one in slot.amounts]]
    if not isinstance(value, Amount):
        return [str(value).partition(".")[2] if isinstance(value, str) else value]
    if value.kind == "analysis":
        return [value.analysis]
    if value.kind == "date":
        return [value.day]
    each = [value.as_unit(unit) for unit in value.units] or [value]
    return [one.qs if isinstance(one.low, tuple) else one.q for one in each]


def _by_weight(
    turn: Turn, works: dict[str, Any], slots: dict[str, Slot], first: tuple[dict[str, Any], Any]
) -> tuple[Figure, str] | None:
    """Where an ounce stayed open and was taken as fluid: the same by weight, beside it."""
    open_ones = {
        name: slot for name, slot in slots.items() if isinstance(slot.value, Amount) and len(slot.value.units) > 1
    }
    entry, result = first
    if not open_ones or not _fits(result, "floz", entry["gives"].get("per", "")):
        return None
    weighed = {name: replace(slot, value=slot.value.as_unit("oz")) for name, slot in open_ones.items()}
    per = entry["gives"].get("per", "")
    other = _result(entry.get("formula", works["formula"]), {**slots, **weighed})
    if other is None or not _fits(other, "oz", per):
        return None
    figure = turn.figure(f"{entry['gives']['label']}, if it is dry", other, "oz", per, entry["gives"].get("of", ""))
    return figure, f"Fluid ounces were taken. If the product is dry: {turn.say(other, 'oz', per)} by weight."


def _measure_asked(slots: dict[str, Slot]) -> tuple[str, str]:
    """The unit and the denominator that the question asks for; where it names a unit alone, the denominator of its rate."""
    unit, per = slots.get("asked"), slots.get("asked_per")
    of_rate = next((slot.amount.per for slot in slots.values() if slot.amounts and slot.amount.kind == "rate"), "")
    asked = str(unit.value).partition(".")[2] if unit else ""
    return asked, str(per.value).partition(".")[2] if per else of_rate if asked and of_rate in _WIDE else ""


def _fits(result: Any, unit: str, per: str) -> bool:
    value = high_end(result)
    try:
        return bool((value * quantity_of(per) if per else value).is_compatible_with(unit))
    except (pint.UndefinedUnitError, AttributeError):
        return False


def _asked_first(results: list[tuple[dict[str, Any], Any]], asked: tuple[str, str]) -> list[tuple[dict[str, Any], Any]]:
    """The figure that can be told in the measure asked for goes first; else the order of the file."""
    in_all = [pair for pair in results if pair[0]["gives"].get("of") and not pair[0]["gives"].get("per")]
    if asked[0] and not asked[1] and results[0][0]["gives"].get("per") and in_all and _fits(in_all[0][1], asked[0], ""):
        return [in_all[0], *(pair for pair in results if pair is not in_all[0])]  # how many pounds, and no `per`
    if (
        asked[0]
        and not _fits(results[0][1], *asked)
        and not _fits(results[0][1], asked[0], results[0][0]["gives"].get("per", ""))
    ):
        return sorted(
            results,
            key=lambda pair: not (_fits(pair[1], *asked) or _fits(pair[1], asked[0], pair[0]["gives"].get("per", ""))),
        )
    return results


def _measure(turn: Turn, gives: dict[str, Any], result: Any, asked: tuple[str, str]) -> tuple[Say, str, str]:
    """In which measure a figure is told: the one asked for where it fits, else the file's, US or metric."""
    unit, per = gives["unit"], gives.get("per", "")
    own = _ON_SMALL.get((turn.say.unit(unit), asked[1]), turn.say.unit(unit))
    around = per if asked[0] in METRIC else turn.say.unit(per)  # who asks for pounds gets them over feet
    wanted = [(asked[0] or own, asked[1] or around), (asked[0] or own, around), (own, asked[1] or around)]
    if any(asked):
        for want_unit, want_per in wanted:
            if _fits(result, want_unit, want_per):
                return Say(None), want_unit, want_per
    return turn.say, unit, per


def _figure(turn: Turn, gives: dict[str, Any], result: Any, say: Say, unit: str, per: str) -> Figure:
    return turn.figure(gives["label"], result, unit, per, gives.get("of", ""), say=say)


def _in_hand(turn: Turn, gives: dict[str, Any], result: Any, asked: tuple[str, str]) -> str:
    if gives.get("per") or asked[1] or not gives.get("of"):
        return ""
    text = turn.say.in_hand(result, asked[0] or gives["unit"])
    return f"That is {text}." if text else ""


def _said(turn: Turn, slot: Slot) -> str:
    """A slot as it is said in a working line."""
    from assistant.answer import amount_words

    if slot.name == "area":
        from assistant.skills.area import total_of

        return turn.say(total_of(slot), "sq_ft")
    if slot.amounts and isinstance(slot.value, tuple):
        return ", ".join(amount_words(one) for one in slot.amounts)
    if not isinstance(slot.value, Amount):
        return str(slot.value).partition(".")[2].replace("_", " ") if isinstance(slot.value, str) else str(slot.value)
    return amount_words(slot.value)


def _filled(text: str, said: dict[str, str]) -> str:
    for name, words in said.items():
        text = text.replace("{" + name + "}", words)
    return text


def _besides(formula: str, slots: dict[str, Slot], rows: list[str], said: dict[str, str]) -> str:
    """What went into a sum and does not stand in its working: ` (people 3, burden 18%)`."""
    told = [
        f"{name.replace('_', ' ')} {said[name]}"
        for name in inspect.signature(formula_of(formula)).parameters
        if name in slots and slots[name].origin == "said" and not any("{" + name + "}" in row for row in rows)
    ]
    return f" ({', '.join(told)})" if told and rows else ""


def _rows(working: Any) -> list[str]:
    return [] if not working else [working] if isinstance(working, str) else list(working)


def _inputs(slots: dict[str, Slot]) -> tuple[Slot, ...]:
    return tuple(slot for name, slot in slots.items() if name not in ("asked", "asked_per"))
