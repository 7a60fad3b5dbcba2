"""Two hundred thousand lines that nobody would type: `python -m tests.fuzz [LINES]`.

Words of the trade shuffled and misspelled, letters of every script, control characters, marks, figures of any length, and
real lines cut, doubled and glued; each goes through a whole turn on a record that keeps nothing. It prints the slowest lines
of up to 200 characters beside the budget of 50 ms, how time grows with length, and every line that broke something.
A smaller run of the same stands in tests/test_never_raises.py.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from assistant.answer import to_json, to_text
from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from tests.scoring import NOW, corpus

STATUSES = {"answered", "recorded", "asks", "unsure", "out_of_scope", "refused"}
BUDGET_MS, LENGTH = 50.0, 200
_MARKS = "@#/%$°'\"×½¼.,;:!?()[]{}<>+-*=&~|\\^_`"
_ODD = "\x00\x07\x08\x1b\x7f\x85\u200b\u200f\u202e\u2028\ufeff\ud7ff\U0001f331\U00010ffff\u0301\u05d0\u0623\u4e2d\u0915\u00df"


def lines(count: int, seed: int = 20260905) -> Iterator[str]:
    """So many lines, the same for the same seed."""
    chance = random.Random(seed)
    real = [str(entry["say"]) for name in ("asked", "dev", "practice") for entry in corpus(name)]
    words = sorted({word for line in real for word in line.split()})
    kinds = (_shuffled, _noise, _figures, _bent)
    for _ in range(count):
        yield chance.choice(kinds)(chance, real, words)


def _shuffled(chance: random.Random, real: list[str], words: list[str]) -> str:
    return " ".join(chance.choice(words) for _ in range(chance.randint(1, 24)))


def _noise(chance: random.Random, real: list[str], words: list[str]) -> str:
    def mark() -> str:
        return chance.choice((chance.choice(_ODD), chance.choice(_MARKS), chr(chance.randint(32, 0x2FFF)), " "))

    return "".join(mark() for _ in range(chance.randint(1, LENGTH)))


def _figures(chance: random.Random, real: list[str], words: list[str]) -> str:
    def figure() -> str:
        digits = "".join(chance.choice("0123456789.,/-e") for _ in range(chance.choice((1, 2, 3, 5, 30))))
        return digits + chance.choice(
            ("", " sq ft", "k", "oz/k", " lb", "°F", "%", "x", " x ", "#/k", " mph", " gal", "'")
        )

    return " ".join(figure() for _ in range(chance.randint(1, 14)))


def _bent(chance: random.Random, real: list[str], words: list[str]) -> str:
    line = list(chance.choice(real))
    for _ in range(chance.randint(1, 8)):
        place = chance.randrange(len(line) + 1)
        what = chance.randrange(4)
        if what == 0 and line:
            del line[min(place, len(line) - 1)]
        elif what == 1:
            line.insert(place, chance.choice(_MARKS + _ODD))
        elif what == 2:
            line[place:place] = line[max(0, place - 9) : place]
        else:
            line[place:place] = list(" " + chance.choice(words) + " ")
    return "".join(line)


def run(count: int, session: Session) -> tuple[list[tuple[str, str]], list[tuple[float, str]]]:
    """What broke, as line and fault; and of the lines of up to 200 characters the slowest, in ms."""
    broken: list[tuple[str, str]] = []
    slow: list[tuple[float, str]] = []
    for line in lines(count):
        start = time.perf_counter()
        fault = fault_of(line, session.afresh())
        taken = (time.perf_counter() - start) * 1000
        if fault:
            broken.append((line, fault))
        if len(line) <= LENGTH:
            slow = sorted([*slow, (taken, line)], reverse=True)[:5]
    return broken, slow


def fault_of(line: str, session: Session) -> str:
    """Empty where a line gives answers that can be shown and written as JSON."""
    try:
        answers = list(turn(line, session))
        if not answers:
            return "no answer"
        for parse, answer in answers:
            if answer.status not in STATUSES:
                return f"status {answer.status}"
            json.dumps(to_json(parse, answer), allow_nan=False)
            if any(mark in to_text(answer) for mark in "\x1b\x07\x00"):
                return "a control character in the answer"
    except Exception as problem:  # any at all is what this looks for
        return f"{type(problem).__name__}: {problem}"
    return ""


def growth(session: Session) -> Iterator[tuple[int, float]]:
    """Length of a line -> ms for it, for lines of one kind; a line of a million characters last."""
    piece = "how much seed for 4,200 sq ft at 6 lb per 1000, wind 5 and 70F "
    for length in (250, 500, 1000, 2000, 4000, 1_000_000):
        line = (piece * (length // len(piece) + 1))[:length]
        taken = []
        for _ in range(3):
            start = time.perf_counter()
            list(turn(line, session.afresh()))
            taken.append((time.perf_counter() - start) * 1000)
        yield length, min(taken)


def main(count: int) -> int:
    with tempfile.TemporaryDirectory() as home:
        session = Session(load(), Store(Path(home)), NOW, False)
        list(turn("warm up", session.afresh()))
        start = time.perf_counter()
        broken, slow = run(count, session)
        taken = time.perf_counter() - start
        print(f"{count:,} lines in {taken:.0f} s, {count / taken:.0f} a second; {len(broken)} broke something")
        for line, fault in broken[:20]:
            print(f"  {fault}: {line!r}")
        print(f"slowest of up to {LENGTH} characters (budget {BUDGET_MS:.0f} ms):")
        for each, line in slow:
            print(f"  {each:.1f} ms  {line[:100]!r}")
        print("length -> ms: " + ", ".join(f"{length:,} -> {each:.1f}" for length, each in growth(session)))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 200_000))
