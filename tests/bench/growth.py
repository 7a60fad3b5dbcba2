"""How cost grows: with the knowledge base, with the lawns on record, and with the journal of one lawn."""

from __future__ import annotations

import statistics
import time
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from assistant.dialogue import Session
from assistant.knowledge_base import Knowledge, load
from assistant.lawn.store import Store
from assistant.terms import Now
from tests.bench.made import journal, knowledge_times
from tests.bench.measuring import answer_all, heading, lines_of, ms, paired, process, say, tell, timed

_TIMES = (1, 5, 20)
_LAWNS = (10, 100, 1_000)
_EVENTS = (100, 1_000, 10_000, 100_000)
_SETTLED = 2.5  # seconds: files that were written just now are read again at each start
_EACH = 200  # events of a lawn
_KEYS = ("renovation_granular", "overseed_liquid", "fall_liquid", "fall_granular")
_ON_LAWN = ("how much seed to overseed", "what's next", "when did I mow last")


def growth(folder: Path) -> None:
    """All growth curves."""
    knowledge(folder)
    lawns(folder)
    one_journal(folder)


def knowledge(folder: Path, lines: int = 150) -> None:
    """A turn over the same lines at once, twice ... with a knowledge base some times as large."""
    said = lines_of("dev")[::2][: lines // 2] + lines_of("asked")[::5][: lines // 2]
    for what, whole in (("practice", False), ("all of the knowledge", True)):
        heading(f"{what} x {', '.join(map(str, _TIMES))}: a turn, over {len(said)} lines")
        sessions = {}
        for times in _TIMES:
            made = knowledge_times(times, folder / f"knowledge_{times}_{whole}", whole)
            time.sleep(_SETTLED)
            load(folder / "grown", made)
            base = load(folder / "grown", made)
            opening = statistics.median(timed(load, folder / "grown", made) for _ in range(5))
            sessions[times] = Session(base, Store(folder / "none"), Now(datetime(2026, 9, 5)), False)
            tell(
                f"x {times}",
                f"{len(list(base.section('practices'))):,} entries, {_questions(base):,} questions; opened in {ms(opening)}",
            )
        taken: dict[int, list[float]] = {times: [] for times in _TIMES}
        for again in range(4):
            for line in said:
                for times, session in sessions.items():
                    seconds = timed(answer_all, line, session.afresh())
                    if again:  # the first time a part of the image is decoded
                        taken[times].append(seconds)
        for times in _TIMES:
            ratio = statistics.median(one / base for one, base in zip(taken[times], taken[_TIMES[0]], strict=True))
            summed = sum(taken[times]) / sum(taken[_TIMES[0]])
            measured = f"median {ms(statistics.median(taken[times]))}; all lines together {summed:.2f} x"
            if times == _TIMES[-1]:
                say(f"a turn at x {times}", measured, ratio, 1.5, unit=" x")
            else:
                tell(f"a turn at x {times}", f"{measured}; line by line {ratio:.2f} x")


def _questions(base: Knowledge) -> int:
    return len(list(base.section("intents")))


def lawns(folder: Path) -> None:
    """What is due this week over many lawns, beside reading and decoding the same rows; a turn on one of them."""
    heading(f"lawns {', '.join(f'{n:,}' for n in _LAWNS)}, each with {_EACH} events")
    base = load(folder / "cache" / "ligule")
    for count in _LAWNS:
        store = Store(folder / f"lawns_{count}")
        _fill(store, base, count, _EACH)
        session = Session(base, store, Now(datetime(2026, 9, 20)))
        due, read, ratio = paired(
            lambda session=session: timed(answer_all, "what's due this week", session),
            lambda store=store: timed(store.events),
            runs=3 if count == _LAWNS[-1] else 9,
        )
        opened = statistics.median(_opened(folder / f"lawns_{count}", base, "lawn 3") for _ in range(7))
        measured = (
            f"{ms(due)} beside {ms(read)} of reading {count * _EACH:,} rows; opening, first turn on one {ms(opened)}"
        )
        what = f"{count:,} lawns, due this week"
        if count == _LAWNS[-1]:
            say(what, measured, ratio, 2.0, unit=" x")
        else:
            tell(what, f"{measured}; ratio {ratio:.2f} x")
        store.close()


def one_journal(folder: Path) -> None:
    """The record of one lawn that gets long: a turn on it, opening it, and a whole process."""
    heading(f"journal of one lawn, {', '.join(f'{n:,}' for n in _EVENTS)} events")
    base = load(folder / "cache" / "ligule")
    for count in _EVENTS:
        home = folder / f"journal_{count}"
        store = Store(home)
        _fill(store, base, 1, count)
        session = Session(base, store, Now(datetime(2026, 9, 20)), True, "lawn 0")
        taken = [timed(answer_all, line, session) for _ in range(3 if count > 10_000 else 9) for line in _ON_LAWN]
        opened = statistics.median(_opened(home, base, "lawn 0") for _ in range(3))
        shot = statistics.median(
            process("-m", "assistant", "ask", "--home", str(home), "--lawn", "lawn 0", _ON_LAWN[0]) for _ in range(3)
        )
        tell(
            f"{count:,} events",
            f"a turn {ms(statistics.median(taken))}; opening and first turn {ms(opened)}; one-shot process {ms(shot)}",
        )
        store.close()


def _fill(store: Store, base: Knowledge, lawns: int, each: int) -> None:
    rules: dict[str, Any] = base.section("programs")
    for n in range(lawns):
        key = _KEYS[n % len(_KEYS)]
        store.append(journal(f"lawn {n}", key, rules[key], date(2026, 8, 20) + timedelta(days=n % 40), each))


def _opened(home: Path, base: Knowledge, lawn: str) -> float:
    """From nothing open to the first answer on a lawn; the program itself is loaded."""

    def work() -> None:
        store = Store(home)
        answer_all(_ON_LAWN[0], Session(base, store, Now(datetime(2026, 9, 20)), True, lawn))
        store.close()

    return timed(work)
