"""Measures the budgets and prints ratios: `python -m tests.bench`. A report, not a timed test.

Each line is measured beside its yardstick in the same run on the same machine; quote the ratio, not the seconds.
"""

from __future__ import annotations

import itertools
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import yaml

from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.store import Store
from assistant.lawn.weather import Weather
from assistant.terms import Amount, Now

QUESTION = "how much starter for 4,200 square feet"
CORPUS = [
    entry["say"]
    for entry in yaml.safe_load((Path(__file__).parent.parent / "corpus" / "dev.yaml").read_text(encoding="utf-8"))
]


# As an installed program runs: with its byte code beside it.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def process(*arguments: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], capture_output=True, check=False, env=ENVIRONMENT)
    return time.perf_counter() - start


def one_shot(home: str, runs: int = 11) -> None:
    ask = ["-m", "assistant", "ask", "--home", home, QUESTION]
    process(*ask), process("-c", "import pint")
    pairs = [(process(*ask), process("-c", "import pint")) for _ in range(runs)]
    ours, theirs = (statistics.median(pair[n] for pair in pairs) for n in (0, 1))
    ratio = statistics.median(mine / yardstick for mine, yardstick in pairs)
    print(
        f"one-shot answer      {ours * 1000:6.0f} ms   import pint {theirs * 1000:6.0f} ms   ratio {ratio:.2f}   budget 1.50"
    )


def first_prompt(home: str, runs: int = 11) -> None:
    """From the call to the first prompt on a pseudo-terminal, beside the imports of the two libraries it stands on."""
    imports = ["-c", "import prompt_toolkit, pint"]
    chat = ["-m", "assistant", "chat", "--home", home, "--today", "2026-09-20"]
    _until_prompt(chat), process(*imports)
    pairs = [(_until_prompt(chat), process(*imports)) for _ in range(runs)]
    ours, theirs = (statistics.median(pair[n] for pair in pairs) for n in (0, 1))
    ratio = statistics.median(mine / yardstick for mine, yardstick in pairs)
    print(
        f"chat, first prompt   {ours * 1000:6.0f} ms   import prompt_toolkit, pint {theirs * 1000:.0f} ms   ratio {ratio:.2f}   budget 1.30"
    )


def _until_prompt(arguments: list[str]) -> float:
    import pexpect

    start = time.perf_counter()
    child = pexpect.spawn(sys.executable, arguments, env={**ENVIRONMENT, "TERM": "xterm"}, dimensions=(24, 80))
    child.expect_exact("F1 keys")
    taken = time.perf_counter() - start
    child.close(force=True)
    return taken


def turns(home: str) -> None:
    session = Session(load(Path(home) / "cache"), Store(Path(home)), Now(datetime(2026, 9, 5)))
    taken = []
    for line in itertools.chain(CORPUS, CORPUS):
        start = time.perf_counter()
        list(turn(line, session))
        taken.append((time.perf_counter() - start) * 1000)
    taken = sorted(taken[len(CORPUS) :])
    print(
        f"chat turn            median {statistics.median(taken):.2f} ms, 99th percentile {taken[int(len(taken) * 0.99)]:.2f} ms   budget 5 and 25"
    )


def batch(home: str, lines: int = 10_000) -> None:
    text = "".join(line + "\n" for line in itertools.islice(itertools.cycle(CORPUS), lines))
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "assistant", "ask", "--home", home, "--json", "-"],
        input=text,
        capture_output=True,
        text=True,
        check=True,
    )
    print(
        f"batch                {lines / (time.perf_counter() - start):.0f} lines a second over {lines:,}   budget 500"
    )


def memory(home: str) -> None:
    code = f"from assistant.cli import main; main(['ask', '--home', {home!r}, {QUESTION!r}]); print(open('/proc/self/status').read())"
    out = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=ENVIRONMENT
    ).stdout
    peak = next(line for line in out.splitlines() if line.startswith("VmHWM")).split()[1]
    print(f"memory, one-shot     {int(peak) / 1024:.0f} MiB at its peak   budget 80")


def record_of_weather(home: str, years: int = 40) -> None:
    """A daily file of so many years, as a user adds it, and the question about frost that follows."""
    first = date(1980, 1, 1)
    rows = [first + timedelta(days=step) for step in range(int(365.25 * years))]
    swing = [60 - 25 * math.cos(day.timetuple().tm_yday / 58.1) for day in rows]
    path = Path(home) / "station.csv"
    lines = (f"{day},{warm + 10:.1f},{warm - 10:.1f},0.1" for day, warm in zip(rows, swing, strict=True))
    path.write_text("DATE,TMAX,TMIN,PRCP\n" + "\n".join(lines) + "\n", encoding="utf-8")
    added = process("-m", "assistant", "weather", "add", str(path), "--home", home)
    session = Session(
        load(Path(home) / "cache"), Store(Path(home)), Now(datetime(2026, 9, 5)), weather=Weather(Path(home))
    )
    taken = []
    for _ in range(50):
        start = time.perf_counter()
        list(turn("when is my first frost", session))
        taken.append((time.perf_counter() - start) * 1000)
    print(
        f"{years} years of weather  added in {added:.2f} s   budget 2; first frost {statistics.median(taken):.2f} ms, slowest {max(taken):.2f} ms   budget 5 and 25"
    )


def many_lawns(home: str, lawns: int = 1_000, each: int = 200) -> None:
    """What is due this week over many lawns, beside reading and decoding the same rows."""
    knowledge = load(Path(home) / "cache")
    rules = knowledge.section("programs")
    keys = ["renovation_granular", "overseed_liquid", "fall_liquid", "fall_granular"]
    store = Store(Path(home) / "many")
    for n in range(lawns):
        store.append(
            _journal(f"lawn {n}", keys[n % 4], rules[keys[n % 4]], date(2026, 8, 20) + timedelta(days=n % 40), each)
        )
    session = Session(knowledge, store, Now(datetime(2026, 9, 20)))
    pairs = []
    for _ in range(5):
        start = time.perf_counter()
        rows = store.events()
        read = time.perf_counter() - start
        start = time.perf_counter()
        answer = next(turn("what's due this week", session))[1]
        pairs.append((time.perf_counter() - start, read))
    ours, theirs = (statistics.median(pair[n] for pair in pairs) for n in (0, 1))
    ratio = statistics.median(mine / yardstick for mine, yardstick in pairs)
    print(
        f"{lawns:,} lawns x {each}    due this week {ours:.2f} s   reading {len(rows):,} rows {theirs:.2f} s   ratio {ratio:.2f}   budget 2.00   ({answer.headline})"
    )


def _journal(lawn: str, key: str, rules: dict[str, Any], seed_day: date, each: int) -> list[Event]:
    """So many events of one lawn: its facts, its program, and a season of notes, cuts and deeds."""
    facts = {
        "area": {"amount": Amount("area", 5000.0, 5000.0, ("sq_ft",)).to_plain()},
        "seed_day": {"amount": Amount("date", seed_day.isoformat(), seed_day.isoformat()).to_plain()},
        "species": {"name": "species.tall_fescue", "called": "tall fescue"},
    }
    day = seed_day.isoformat()
    made = [
        Event(kinds.TOLD, lawn, "it is 5,000 sq ft of tall fescue", day, day, {"facts": facts}),
        Event(kinds.STARTED, lawn, "start it", day, day, {"program": key, "rules": rules}),
    ]
    for n in range(each - len(made)):
        on = (seed_day + timedelta(days=n // 8)).isoformat()
        kind = (kinds.NOTE, kinds.MOWED, kinds.NOTE, kinds.DONE)[n % 4]
        body = {"step": "feed.first", "title": "first feed"} if kind == kinds.DONE else {}
        made.append(Event(kind, lawn, f"something that was said on day {n}", on, on, body))
    return made


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        ENVIRONMENT["PYTHONPYCACHEPREFIX"] = home + "/bytecode"
        one_shot(home)
        first_prompt(home)
        turns(home)
        batch(home)
        memory(home)
        record_of_weather(home)
        many_lawns(home)
