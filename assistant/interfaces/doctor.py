"""`ligule doctor`: versions and folders, whether record and knowledge are whole, and what stands behind the figures."""

from __future__ import annotations

import json
import platform
from collections import Counter
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from assistant.knowledge_base import Knowledge
from assistant.lawn.copies import copies_of, is_whole
from assistant.lawn.store import Store
from assistant.terms import UNSOURCED

_LIBRARIES = ("pint", "rapidfuzz", "PyYAML", "snowballstemmer", "zipcodes", "icalendar")
_TABLES = ["lime", "soils", "seeding", "season", "feeding", "mowing", "watering", "thresholds", "sprinklers", "mixing"]
_SHOWN = 10


def report(knowledge: Knowledge, store: Store, home: Path, cache: Path) -> Iterator[str]:
    """The lines of the report."""
    yield f"ligule {_version('ligule')}, Python {platform.python_version()}; " + ", ".join(
        f"{name} {_version(name)}" for name in _LIBRARIES
    )
    yield f"Record: {home}, {len(store.lawns())} lawns, {len(store.events())} events; {_health(store)}"
    yield f"Cache: {cache}; delete it at will."
    yield f"Your own files left out: {len(knowledge.left_out)}."
    yield from (f"  {fault}" for fault in knowledge.left_out)
    yield ""
    yield from coverage(knowledge)


def _health(store: Store) -> str:
    """Whether SQLite finds the record whole, and which copies of it there are."""
    if not store.path.exists():
        return "nothing is kept yet."
    state = "whole" if is_whole(store.path) else "DAMAGED: ask anything of a lawn, and it is said what to do"
    copies = copies_of(store.path)
    if not copies:
        return f"{state}; no copy yet, one is made before the first writing of another day."
    return f"{state}; {len(copies)} cop{'y' if len(copies) == 1 else 'ies'}, the newest {copies[0]}."


def coverage(knowledge: Knowledge) -> Iterator[str]:
    """Entries by topic, the share of figures with a published source, entries nothing leads to, what was looked at longest ago."""
    entries = {key: knowledge.entry(f"practices.{key}") for key in knowledge.section("practices")}
    topics = Counter(str(entry["topic"]) for entry in entries.values())
    asks = sum(len(entry["asks"]) for entry in entries.values())
    troubles = knowledge.section("troubles")
    yield f"Practice: {len(entries)} entries, {asks:,} ways of asking."
    yield "  " + ", ".join(f"{topic} {count}" for topic, count in sorted(topics.items()))
    yield f"Troubles: {len(troubles['causes'])} causes, {len(troubles['questions'])} questions. Glossary: {len(list(knowledge.section('glossary')))} words."
    yield f"Grasses: {len(knowledge.section('species'))}. Active ingredients: {len(knowledge.section('ingredients'))}."
    yield ""
    found = {
        "practice": list(_rows(entries)),
        "grasses": list(_rows(knowledge.section("species"))),
        "ingredients": list(_rows(knowledge.section("ingredients"))),
        "troubles": list(_rows(troubles["causes"])),
        "states": list(_rows(knowledge.section("states"))),
        "programs": list(_rows(_steps(knowledge))),
        "tables": list(_rows([knowledge.section(name) for name in _TABLES])),
    }
    yield "Figures                  in all  published  of it secondary  common practice  from memory"
    for name, rows in {**found, "all": [one for part in found.values() for one in part]}.items():
        yield _line(knowledge, name, rows)
    yield ""
    linked = {other for entry in entries.values() for other in entry.get("related") or ()}
    linked |= {other for cause in troubles["causes"].values() for other in cause.get("related") or ()}
    alone = sorted(set(entries) - linked)
    yield f"Entries that no other leads to: {len(alone)}. {', '.join(alone[:_SHOWN])}{' ...' if len(alone) > _SHOWN else ''}"
    yield f"Laws were looked up on {' to '.join(_checked(knowledge))}; they change, look again."


def _line(knowledge: Knowledge, name: str, rows: list[str]) -> str:
    unsourced = Counter(source for source in rows if source in UNSOURCED)
    published = [source for source in rows if source not in UNSOURCED]
    secondary = sum((knowledge.source(source) or {}).get("kind") == "secondary" for source in published)
    share = f"{len(published) / len(rows):.0%}" if rows else "-"
    return (
        f"{name:<24} {len(rows):>6,}  {len(published):>5,} {share:>4}  {secondary:>15,}"
        f"  {unsourced['common practice']:>15,}  {unsourced['from memory']:>11,}"
    )


def _steps(knowledge: Knowledge) -> list[Any]:
    """The steps of all programs, those that several share once."""
    steps = [step for rules in knowledge.section("programs").values() for step in rules["steps"]]
    return list({json.dumps(step, sort_keys=True): step for step in steps}.values())


def _rows(data: Any) -> Iterator[str]:
    """The source of every figure in a part of the knowledge base; a figure has a low end, or is a window or a level."""
    if isinstance(data, dict):
        if "source" in data and ({"low", "level"} & data.keys() or {"from", "to"} <= data.keys()):
            yield str(data["source"])
            return
        for value in data.values():
            yield from _rows(value)
    elif isinstance(data, list):
        for value in data:
            yield from _rows(value)


def _checked(knowledge: Knowledge) -> list[str]:
    """The first and the last day on which laws were looked up."""
    days = sorted(
        str(row["checked"])
        for state in knowledge.section("states").values()
        for field in ("law", "limits")
        for row in state.get(field) or ()
        if "checked" in row
    )
    return list(dict.fromkeys((days[0], days[-1]))) if days else ["no day"]


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
