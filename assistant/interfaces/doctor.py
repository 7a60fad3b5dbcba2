"""`ligule doctor`: versions and folders, what the terminal can show, whether record and knowledge are whole, and what
stands behind the figures."""

from __future__ import annotations

import json
import os
import platform
import sqlite3
import sys
from collections import Counter
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, NamedTuple

from assistant.knowledge_base import Knowledge, is_own
from assistant.knowledge_base.files import names_in
from assistant.lawn.copies import copies_of, is_whole
from assistant.lawn.store import Store
from assistant.lawn.weather import Weather
from assistant.terms import UNSOURCED
from knowledge import FOLDER

_LIBRARIES = (
    "pint",
    "rapidfuzz",
    "PyYAML",
    "snowballstemmer",
    "zipcodes",
    "icalendar",
    "prompt_toolkit",
    "textual",
)
# Sections that are compiled out of others, or that are counted by themselves below.
_NO_TABLES = {"language", "intents", "finding", "ordinary", "practices", "programs", "species", "ingredients", "troubles", "states"}  # fmt: skip
_SHOWN = 10
_WALK = (80, 24)  # columns and rows from which the walk shows everything


class Terminal(NamedTuple):
    """What is known of the terminal: whether both its ends are one, its size, and what it shows."""

    kind: str
    draws: bool
    columns: int
    rows: int
    colour: bool
    unicode: bool


def report(knowledge: Knowledge, store: Store, weather: Weather, cache: Path, terminal: Terminal) -> Iterator[str]:
    """The lines of the report."""
    home = store.path.parent
    yield f"ligule {_version('ligule')}, Python {platform.python_version()}, {sys.platform} {platform.machine()}."
    yield f"Libraries: {', '.join(f'{name} {_version(name)}' for name in _LIBRARIES)}; SQLite {sqlite3.sqlite_version}."
    yield terminal_words(terminal)
    yield f"Record: {home}, {counted(len(store.lawns()), 'lawn')}, {counted(len(store.events()), 'event')}; {_health(store)}"
    yield f"Weather: {counted(len(weather.places()), 'place')} with a table of its own."
    yield f"Cache: {cache}{'' if _writable(cache) else ', which cannot be written: each start takes some seconds longer'}; delete it at will."
    yield f"Knowledge: {counted(len(names_in(FOLDER)), 'file')} of ligule's own, checked: no fault."
    yield own_words(home / "knowledge", knowledge.left_out)
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


def own_words(folder: Path, left_out: tuple[str, ...]) -> str:
    """The user's own files: how many are used, and how many are not."""
    own = [name for name in names_in(folder) if is_own(name)] if folder.is_dir() else []
    if not own:
        return f"Your own files: none in {folder}."
    broken = {fault.partition(".yaml:")[0] for fault in left_out}
    return f"Your own files: {counted(len(own), 'file')} in {folder}, {len(own) - len(broken)} in use, {len(broken)} left out for their faults."


def terminal_words(terminal: Terminal) -> str:
    """What the terminal can do, and so what chat and walk will do on it."""
    letters = "all letters" if terminal.unicode else "ASCII letters only"
    if not terminal.draws:
        return f"Terminal: none that can be drawn on, {letters}; chat runs in plain lines, the walk does not open."
    inks = "colours" if terminal.colour else "no colours (NO_COLOR is set)"
    narrow = "" if terminal.columns >= _WALK[0] and terminal.rows >= _WALK[1] else "; a larger window shows more"
    return f"Terminal: {terminal.kind}, {terminal.columns} columns by {terminal.rows} rows, {inks}, {letters}{narrow}."


def counted(number: int, thing: str) -> str:
    """`1 lawn`, `2 lawns`."""
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def _writable(folder: Path) -> bool:
    """True where files can be made in a folder, or the folder itself can be."""
    there = next(one for one in (folder, *folder.parents) if one.exists())
    return there.is_dir() and os.access(there, os.W_OK)


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
        "practice": list(sources_in(entries)),
        "grasses": list(sources_in(knowledge.section("species"))),
        "ingredients": list(sources_in(knowledge.section("ingredients"))),
        "troubles": list(sources_in(troubles)),
        "states": list(sources_in(knowledge.section("states"))),
        "programs": list(sources_in(_steps(knowledge))),
        "tables": list(
            sources_in([knowledge.section(name) for name in knowledge.sections() if name not in _NO_TABLES])
        ),
        "formulas": list(_formulas(knowledge)),
    }
    yield "What stands behind each figure: a published page (secondary: one that repeats others), common practice without"
    yield "a page, or memory, to be confirmed."
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


def _formulas(knowledge: Knowledge) -> Iterator[str]:
    """The source of the formula of every question that one answers."""
    works = (entry["works"] for entry in knowledge.section("intents").values())
    yield from (str(one["source"]) for one in works if one and "source" in one)


def sources_in(data: Any) -> Iterator[str]:
    """The source of every figure in a part of the knowledge base; a figure has a low end, or is a window or a level."""
    if isinstance(data, dict):
        if "source" in data and ({"low", "level"} & data.keys() or {"from", "to"} <= data.keys()):
            yield str(data["source"])
            return
        for value in data.values():
            yield from sources_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from sources_in(value)


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
