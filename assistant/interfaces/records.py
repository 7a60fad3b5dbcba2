"""`ligule records`: the journal as CSV on stdout, notes and what was taken back included; or only what went down."""

from __future__ import annotations

import csv
import sys
from typing import Any

from assistant.answer import amount_words, describe
from assistant.knowledge_base import Knowledge
from assistant.lawn.events import DONE, USED
from assistant.lawn.shelf import shelf_of
from assistant.lawn.state import fold, is_of
from assistant.lawn.store import Store
from assistant.terms import Amount, Analysis, Slot

_COLUMNS = ("seq", "lawn", "kind", "happened_on", "said_on", "text", "change", "stands")
_APPLICATION = (
    "date",
    "start",
    "end",
    "place",
    "area_sq_ft",
    "product",
    "analysis",
    "rate",
    "amount",
    "unit",
    "amount_is",
    "equipment",
    "wind",
    "temperature",
    "applicator",
    "said",
)
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def records(store: Store, lawn: str = "") -> int:
    """Every event, oldest first; `stands` is no where it was taken back."""
    events = store.events(lawn or None)
    standing = {
        event.seq
        for name in {event.lawn for event in events}
        for event in fold(name, [one for one in events if one.lawn == name]).live
    }
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(_COLUMNS)
    for event in events:
        stands = "yes" if event.seq in standing or event.kind == "undone" else "no"
        out.writerow(
            [
                event.seq,
                _plain(event.lawn),
                event.kind,
                event.happened_on,
                event.said_on,
                _plain(event.text),
                _plain(describe(event)),
                stands,
            ]
        )
    return 0


def applications(store: Store, knowledge: Knowledge, lawn: str = "", applicator: str = "") -> int:
    """What went down, one row a product, with the fields that record-keeping rules ask; what was not told stays empty.

    Fields: 7 CFR 110.3 (cfr-110-3), COMAR 15.05.01.12 (md-15-05-01-12), 2VAC5-405-100 (va-405-100).
    """
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(_APPLICATION)
    shelf = shelf_of(store.events(""))
    for name in (one for one in store.lawns() if is_of(one, lawn)):
        state = fold(name, store.events(name))
        area = state.facts.get("area")
        for event in sorted(state.live, key=lambda one: (one.happened_on, one.seq)):
            if event.kind not in (DONE, USED):
                continue
            body = event.body
            told = [_of_tank(body)] if "tank" in body else []
            for row in body.get("put") or told:
                item = shelf.get(row["what"])
                label = item.facts.get("analysis") if item else None
                start, end = body.get("times", ("", ""))
                cells = (
                    event.happened_on,
                    start,
                    end,
                    name,
                    f"{area.amount.low:g}" if area else "",
                    knowledge.name(row["what"]),
                    _analysis(row, label),
                    _rate(body),
                    _amount(row),
                    row["unit"],
                    _amount_is(row),
                    knowledge.name(body["tool"]) if "tool" in body else "",
                    _measure(body, "wind"),
                    _measure(body, "temperature"),
                    applicator,
                    event.text,
                )
                out.writerow([_plain(str(cell)) for cell in cells])
    return 0


def _analysis(row: dict[str, Any], label: Slot | None) -> str:
    """The analysis that was told with what went down, else that of the label on the shelf."""
    if "analysis" in row:
        return str(Analysis(*row["analysis"]))
    return str(label.amount.analysis) if label else ""


def _of_tank(body: dict[str, Any]) -> dict[str, Any]:
    """What was in the tank, with the amount where one was told."""
    amount = Amount.from_plain(body["quantity"]) if "quantity" in body else None
    ends = (
        {"low": amount.low, "high": amount.high, "unit": amount.unit} if amount else {"low": "", "high": "", "unit": ""}
    )
    return {"what": body["tank"], **ends, "said": amount is not None}


def _amount(row: dict[str, Any]) -> str:
    """The amount; a range where only the program's rate is known."""
    ends = [f"{row[end]:g}" for end in ("low", "high") if row[end] != ""]
    return " to ".join(dict.fromkeys(ends))


def _amount_is(row: dict[str, Any]) -> str:
    if row["said"]:
        return "told"
    return "not told" if row["high"] == "" else "not told: the program's rate over the lawn"


def _rate(body: dict[str, Any]) -> str:
    return amount_words(Amount.from_plain(body["rate"])) if "rate" in body else ""


def _measure(body: dict[str, Any], name: str) -> str:
    if name not in body:
        return ""
    amount = Amount.from_plain(body[name])
    return f"{amount.low:g} {amount.unit}"


def _plain(text: str) -> str:
    """A cell that no spreadsheet takes for a formula and no terminal for a command."""
    text = "".join(mark if mark.isprintable() else " " for mark in text)
    return "'" + text if text.startswith(_FORMULA) else text
