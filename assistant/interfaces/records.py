"""`ligule records`: the journal as CSV on stdout, notes and what was taken back included."""

from __future__ import annotations

import csv
import sys

from assistant.answer import describe
from assistant.lawn.state import fold
from assistant.lawn.store import Store

_COLUMNS = ("seq", "lawn", "kind", "happened_on", "said_on", "text", "change", "stands")
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


def _plain(text: str) -> str:
    """A cell that no spreadsheet takes for a formula and no terminal for a command."""
    text = "".join(mark if mark.isprintable() else " " for mark in text)
    return "'" + text if text.startswith(_FORMULA) else text
