"""The same questions put to general-purpose libraries where they do a part of this job: what they get right, and how fast."""

from __future__ import annotations

import logging
import re
import statistics
import time
import warnings
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import yaml

from assistant.knowledge_base import load
from assistant.parsing import Vocabulary, parse_line
from assistant.terms import Now
from knowledge import FOLDER
from tests import scoring
from tests.bench.measuring import at_percent, heading, ms, tell

_NOW = Now(datetime(2026, 9, 5))
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_MARKS = re.compile(r"[^a-z' ]+")


def peers(folder: Path) -> None:
    """Both comparisons."""
    vocabulary = Vocabulary(load(folder / "cache" / "ligule"))
    quantities(vocabulary)
    templates(vocabulary)


def quantities(vocabulary: Vocabulary) -> None:
    """quantulum3, a general reader of quantities, over the strings of the trade; it is asked for the numbers alone."""
    from quantulum3 import parser

    from tests.test_corpus import ends_of, reads, values_of

    heading(
        "quantities in a string: quantulum3 (numbers alone) beside ours (kind, unit, per and pounds of what as well)"
    )
    entries = scoring.corpus("quantities")

    def theirs_read(entry: dict[str, Any]) -> bool:
        want = sorted(float(value) for amount in entry["amounts"] for value in values_of(amount))
        try:
            found = sorted(float(value) for one in parser.parse(entry["text"]) for value in ends_of(one))
        except Exception:  # it breaks on some strings; that is a miss
            return False
        return len(want) == len(found) and all(abs(one - other) < 1e-6 for one, other in zip(want, found, strict=True))

    _beside("quantulum3", entries, lambda entry: reads(entry, vocabulary), theirs_read)


def templates(vocabulary: Vocabulary) -> None:
    """hassil, a general recognizer of sentence templates, given every line that people type for our questions."""
    from hassil import Intents, recognize

    logging.disable(logging.WARNING)
    typed: dict[str, list[str]] = {}
    for path in sorted((FOLDER / "asks").glob("*.yaml")):
        for intent, entry in yaml.safe_load(path.read_text(encoding="utf-8")).items():
            typed.setdefault(intent, []).extend(map(str, entry.get("asks", ())))
    for intent, entry in vocabulary.intents.items():
        typed.setdefault(intent, []).extend(entry["say"])
    sentences = {intent: sorted({_spoken(line) for line in lines} - {""}) for intent, lines in typed.items()}
    made = Intents.from_dict({
        "language": "en",
        "intents": {intent: {"data": [{"sentences": lines}]} for intent, lines in sentences.items() if lines},
    })  # fmt: skip
    count = sum(map(len, sentences.values()))
    own = [{"say": line, "is": intent} for intent, lines in typed.items() for line in lines][::10]
    strange = [entry for entry in scoring.corpus("asked_held_back") if not scoring.silent(scoring.wanted(entry)[0])]

    def ours(entry: dict[str, Any]) -> bool:
        return scoring.right(entry, scoring.outcome(parse_line(entry["say"], vocabulary, _NOW)[0]))

    def theirs(entry: dict[str, Any]) -> bool:
        found = recognize(_spoken(entry["say"]), made)
        return found is not None and scoring.right(entry, found.intent.name)

    heading(
        f"which question a line is: hassil with our {count:,} lines as its templates, all numbers alike, beside ours"
    )
    tell("every tenth of those very lines", "to see that the templates do match")
    _beside("hassil", own, ours, theirs)
    tell("lines that neither was made for", "of asked_held_back")
    _beside("hassil", strange, ours, theirs)


def _spoken(line: str) -> str:
    """A line without marks, each number the word `number`: the recognizer need not read any."""
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", line.lower())
    return " ".join(_MARKS.sub(" ", _NUMBER.sub(" number ", plain)).split())


def _beside(
    name: str, entries: list[dict[str, Any]], ours: Callable[[Any], bool], theirs: Callable[[Any], bool]
) -> None:
    """Both over the same entries: how many right, and how long one takes."""
    right: dict[str, int] = {}
    taken: dict[str, list[float]] = {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for who, reads in (("ours", ours), (name, theirs)):
            reads(entries[0])
            found = [_clocked(reads, entry) for entry in entries]
            right[who], taken[who] = sum(well for well, _ in found), [seconds for _, seconds in found]
    for who in right:
        share = right[who] / len(entries)
        tell(
            who,
            f"{right[who]} of {len(entries)} right ({share:.0%}); median {ms(statistics.median(taken[who]))},"
            f" 95th percentile {ms(at_percent(taken[who], 95))}",
        )
    ratio = statistics.median(mine / yours for mine, yours in zip(taken["ours"], taken[name], strict=True))
    tell(f"time, ours to {name}", f"{ratio:.2f} x, the median entry by entry; no budget")


def _clocked(reads: Callable[[Any], bool], entry: Any) -> tuple[bool, float]:
    start = time.perf_counter()
    return reads(entry), time.perf_counter() - start
