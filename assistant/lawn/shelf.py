"""The shelf of a user: products with what their labels say, and how much of each is there. The fold of its events."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.terms import Amount, Slot

LABEL = ("analysis", "density", "pack", "price")  # what is read off the label, or off the bill


@dataclass(frozen=True, slots=True)
class Item:
    """One product: the facts of its label, and every amount that came in or was counted, with its day."""

    id: str
    facts: dict[str, Slot] = field(default_factory=dict)
    counted: tuple[tuple[str, bool, Amount], ...] = ()  # (ISO day, counted anew, amount)


def shelf_of(events: Iterable[Event]) -> dict[str, Item]:
    """Item by id. What was taken back is as if it had never been said."""
    items: dict[str, Item] = {}
    for event in kinds.standing(events):
        if event.kind == kinds.STOCKED:
            key = event.body["item"]
            items[key] = _with(items.get(key, Item(key)), event)
    return items


def used_of(events: Iterable[Event]) -> list[tuple[str, dict[str, Any]]]:
    """(ISO day, what went down) of everything that stands on the lawns: `what`, `low`, `high`, `unit`."""
    return [
        (event.happened_on, row)
        for event in events
        if event.kind in (kinds.DONE, kinds.USED)
        for row in event.body.get("put", ())
    ]


def _with(item: Item, event: Event) -> Item:
    facts = dict(item.facts)
    for name, data in event.body.get("facts", {}).items():
        facts[name] = Slot(name, Amount.from_plain(data), "label", why=event.text, said_on=event.said_on)
    if "quantity" not in event.body:
        return replace(item, facts=facts)
    amount = Amount.from_plain(event.body["quantity"])
    return replace(item, facts=facts, counted=(*item.counted, (event.happened_on, bool(event.body["anew"]), amount)))
