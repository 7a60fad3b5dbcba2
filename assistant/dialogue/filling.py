"""Filling the slots of a reading: said, then context, lawn, program, practice, in the order that its file gives."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from assistant.answer import ASKS, Answer, Ask
from assistant.dialogue.zips import with_place
from assistant.knowledge_base import Knowledge
from assistant.lawn.events import Event
from assistant.lawn.shelf import shelf_of
from assistant.lawn.state import LawnState
from assistant.terms import Amount, Parse, Slot, instead_of

_HOLE = re.compile(r"\{(\w+)\}")

_ASKED_BY_WEIGHT = ("asked.lb", "asked.kg")  # who asks for these takes the dry form


def fill(
    parse: Parse,
    entry: dict[str, Any],
    knowledge: Knowledge,
    carried: dict[str, Slot],
    lawn: LawnState | None,
    shelf_events: Callable[[], tuple[Event, ...]] = tuple,
) -> Parse:
    """The reading with every slot that can be filled, each with where it came from."""
    parse = with_place(_by_form(parse, entry, knowledge))
    for name in (*entry["needs"], *entry["may_have"]):
        if name in parse.slots:
            continue
        spec = entry["slots"][name]
        for origin in spec.get("from", ()):
            if origin == "label":
                slot = _off_label(name, parse, knowledge, shelf_events)
            else:
                slot = _from(origin, name, spec, parse, knowledge, carried, lawn, needed=name in entry["needs"])
            if slot is not None:
                parse = parse.with_slot(slot)
                break
    return parse


def _by_form(parse: Parse, entry: dict[str, Any], knowledge: Knowledge) -> Parse:
    """A product that comes in two forms, settled by a word for its form: `starter, granular`."""
    product = parse.slots.get("product")
    if product is None:
        return parse
    either = knowledge.entry(f"products.{str(product.value).partition('.')[2]}.either")
    said = {
        knowledge.entry(f"products.{name.id.partition('.')[2]}.form") for name in parse.names if name.type == "product"
    }
    said |= {name.id.partition(".")[2] for name in parse.names if name.type == "form"}
    said |= {"dry" for name in parse.names if name.id in _ASKED_BY_WEIGHT}
    for key in either or ():
        if knowledge.entry(f"products.{key}.form") in said - {None}:
            return parse.with_slot(replace(product, value=f"product.{key}"))
    return parse


def _from(
    origin: str,
    name: str,
    spec: dict[str, Any],
    parse: Parse,
    knowledge: Knowledge,
    carried: dict[str, Slot],
    lawn: LawnState | None,
    needed: bool,
) -> Slot | None:
    if origin == "context":  # an optional input is never brought in unasked
        held = carried.get(spec.get("context", name)) if needed or spec.get("carried") else None
        return replace(held, name=name) if held else None
    if origin == "lawn" and lawn is not None:
        return lawn.day_zero if name == "seed_day" and parse.topic == "plan" else lawn.facts.get(name)
    if origin == "program" and name == "program" and lawn is not None and lawn.program:
        return Slot(name, f"program.{lawn.program['program']}", "program", why="the one that was started")
    if origin == "practice" and name == "analysis":
        return _grade(parse, knowledge)
    if origin == "practice" and "practice" in spec:
        return _practice(name, spec["practice"], parse, knowledge)
    return None


def _off_label(
    name: str, parse: Parse, knowledge: Knowledge, shelf_events: Callable[[], tuple[Event, ...]]
) -> Slot | None:
    """A fact of the product's label, as the shelf holds it."""
    product = parse.slots.get("product")
    if product is None or not isinstance(product.value, str):
        return None
    items = shelf_of(shelf_events())
    for key in knowledge.either(product.value):
        if key in items and name in items[key].facts:
            return items[key].facts[name]
    return None


def _grade(parse: Parse, knowledge: Knowledge) -> Slot | None:
    """The analysis of a product that has only one, such as urea."""
    product = str(parse.slots["product"].value).partition(".")[2] if "product" in parse.slots else ""
    grade = knowledge.entry(f"products.{product}.grade") if product else None
    if not grade:
        return None
    values = tuple(float(share) for share in grade)
    amount = Amount("analysis", values, values)
    return Slot("analysis", amount, "practice", why=knowledge.name(f"product.{product}"), source="common practice")


def _practice(name: str, path: str, parse: Parse, knowledge: Knowledge) -> Slot | None:
    """The first figure of the knowledge base at a path such as `species.{species}.seeding_rate`."""
    for key in _keys(path, parse, knowledge):
        rows = knowledge.rows(key)
        if rows:
            row = rows[0]
            return Slot(name, row.amount, "practice", why=row.where, source=row.source)
    return None


def _keys(path: str, parse: Parse, knowledge: Knowledge) -> list[str]:
    """The path with its holes filled from the slots; a name that means either of two things tries the first of them."""
    holes = _HOLE.findall(path)
    if any(hole not in parse.slots for hole in holes):
        return []
    filled = path
    for hole in holes:
        filled = filled.replace("{" + hole + "}", str(parse.slots[hole].value).partition(".")[2])
    found = [filled]
    section, _, rest = filled.partition(".")
    thing, _, figure = rest.partition(".")
    either = knowledge.entry(f"{section}.{thing}.either")
    return found + ([f"{section}.{either[0]}.{figure}"] if either else [])


def missing(parse: Parse, entry: dict[str, Any]) -> str:
    """The first needed slot that nothing fills; a grass is not asked for where its rate was said."""
    return next(
        (
            name
            for name in entry["needs"]
            if name not in parse.slots and not instead_of(entry["slots"][name]) & parse.slots.keys()
        ),
        "",
    )


def ask_for(name: str, parse: Parse, entry: dict[str, Any]) -> Answer:
    """One short question for what is missing."""
    ask = Ask(name, entry["slots"][name].get("ask", f"What {name.replace('_', ' ')}?"))
    inputs = tuple(slot for slot in parse.slots.values())
    return Answer(ASKS, "", asks=ask, inputs=inputs)
