"""The budgets of the design, each measured beside its yardstick on the same machine in the same run."""

from __future__ import annotations

import itertools
import math
import statistics
import sys
import time
from datetime import date, datetime, timedelta
from pathlib import Path

from assistant.cli import seldom_collected
from assistant.dialogue import Session
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.lawn.weather import Weather
from assistant.terms import Now
from tests.bench.measuring import (
    ENVIRONMENT,
    LIGULE,
    answer_all,
    at_percent,
    heading,
    lines_of,
    ms,
    paired,
    peak,
    process,
    say,
    timed,
)

_SUM = "how much starter for 4,200 square feet"
_ENTRY = "why is my new grass yellow"
_TODAY = ["--today", "2026-09-20"]
_EMPTY_APP = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("ready")
Empty().run()
"""


def budgets(folder: Path) -> None:
    """All of them but the growing knowledge base, which is a curve."""
    home = str(folder / "home")
    heading("whole processes")
    one_shots(home)
    first_pictures(home)
    heading("in one process")
    turns(folder)
    batches(home)
    weather(folder)
    heading("memory")
    memory(home)


def one_shots(home: str) -> None:
    """A sum and an answer from the knowledge base, beside the import of pint alone."""
    for what, question in (("one-shot, a sum", _SUM), ("one-shot, an entry", _ENTRY)):
        ask = [*LIGULE, "ask", "--home", home, question]
        time.sleep(2.5 if what.endswith("sum") else 0)  # files that were written just now are read again
        ours, theirs, ratio = paired(lambda ask=ask: process(*ask), lambda: process("-c", "import pint"), runs=21)
        say(what, f"{ms(ours)} beside {ms(theirs)} of importing pint", ratio, 1.5, unit=" x")


def first_pictures(home: str) -> None:
    """From the call to the first picture on a pseudo-terminal."""
    imports = ["-c", "import prompt_toolkit, pint"]
    chat = [*LIGULE, "chat", "--home", home, *_TODAY]
    ours, theirs, ratio = paired(lambda: _until("F1 keys", chat), lambda: process(*imports))
    say(
        "chat, first prompt",
        f"{ms(ours)} beside {ms(theirs)} of importing prompt_toolkit and pint",
        ratio,
        1.3,
        unit=" x",
    )
    walk = [*LIGULE, "walk", "--home", home, *_TODAY]
    empty = ["-c", _EMPTY_APP]
    ours, theirs, ratio = paired(lambda: _until("measure", walk), lambda: _until("ready", empty))
    say("walk, first picture", f"{ms(ours)} beside {ms(theirs)} of an empty app", ratio, 2.0, unit=" x")


def _until(words: str, arguments: list[str]) -> float:
    import pexpect

    start = time.perf_counter()
    child = pexpect.spawn(
        sys.executable, arguments, env={**ENVIRONMENT, "TERM": "xterm-256color"}, dimensions=(24, 80), timeout=20
    )
    child.expect_exact(words)
    taken = time.perf_counter() - start
    child.close(force=True)
    return taken


def turns(folder: Path) -> None:
    """Turns of a chat, the record written to disk; the same lines three times, the first not counted."""
    seldom_collected()
    for part in ("dev", "asked"):
        base = load(folder / "cache" / "ligule")
        session = Session(base, Store(folder / f"turns_{part}"), Now(datetime(2026, 9, 5)))
        said = lines_of(part)
        taken = [[timed(answer_all, line, session) for line in said] for _ in range(3)][1:]
        all_ms = [seconds * 1000 for seconds in itertools.chain(*taken)]
        words = f"{len(said)} lines of {part}, twice"
        say(f"chat turn, median ({part})", words, statistics.median(all_ms), 5, unit=" ms")
        say(f"chat turn, 99th percentile ({part})", words, at_percent(all_ms, 99), 25, unit=" ms")


def batches(home: str) -> None:
    """Lines a second on one core, the start of the process included."""
    for part, count in (("dev", 10_000), ("asked", 3_000)):
        said = lines_of(part)
        given = "".join(line + "\n" for line in itertools.islice(itertools.cycle(said), count))
        ask = [*LIGULE, "ask", "--home", home, "--json", "-"]
        taken = statistics.median(process(*ask, given=given, one_core=True) for _ in range(3))
        mean = sum(map(len, said)) / len(said)
        words = f"{count:,} lines, {mean:.0f} characters on average, in {taken:.1f} s"
        say(f"batch, lines a second ({part})", words, count / taken, 500, least=True)


def memory(home: str) -> None:
    """Peak memory of a question, a chat and a batch."""
    say("one-shot, a sum", "", peak("ask", "--home", home, _SUM), 80, unit=" MiB")
    say("one-shot, an entry", "", peak("ask", "--home", home, _ENTRY), 80, unit=" MiB")
    said = "".join(line + "\n" for line in lines_of("asked"))
    count = said.count("\n")
    for what, arguments in (("chat", ["chat"]), ("batch", ["ask", "--json", "-"])):
        words = f"{count} lines of asked (the budget is that of one question)"
        say(what, words, peak(*arguments, "--home", f"{home}_{what}", given=said), 80, unit=" MiB")


def weather(folder: Path, years: int = 40) -> None:
    """A daily file of so many years, as a user adds it, and the question about frost that follows."""
    home = folder / "weather"
    home.mkdir()
    first = date(1980, 1, 1)
    rows = [first + timedelta(days=step) for step in range(int(365.25 * years))]
    swing = [60 - 25 * math.cos(day.timetuple().tm_yday / 58.1) for day in rows]
    path = home / "station.csv"
    lines = (f"{day},{warm + 10:.1f},{warm - 10:.1f},0.1" for day, warm in zip(rows, swing, strict=True))
    path.write_text("DATE,TMAX,TMIN,PRCP\n" + "\n".join(lines) + "\n", encoding="utf-8")
    added = process(*LIGULE, "weather", "add", str(path), "--home", str(home))
    base = load(folder / "cache" / "ligule")
    session = Session(base, Store(home), Now(datetime(2026, 9, 5)), weather=Weather(home))
    taken = [timed(answer_all, "when is my first frost", session) * 1000 for _ in range(50)]
    say(f"{years} years of weather, added", f"{len(rows):,} days", added, 2, unit=" s")
    say("first frost out of it, median", "", statistics.median(taken), 5, unit=" ms")
