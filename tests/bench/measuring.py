"""How the bench measures: whole processes in pairs, medians, and a line of the report with its budget and a plain word."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import yaml

from assistant.dialogue import Session, turn

CORPUS = Path(__file__).parent.parent / "corpus"
RUNS = 11
LIGULE = ["-c", "import sys; from assistant.cli import main; sys.exit(main())"]  # as the installed script does
_OF_THE_TESTS = ("numpy", "pandas")  # pint loads them where they are installed; a user of ligule has neither

# As an installed program runs: with its byte code beside it, and nothing that only the tests bring.
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def lines_of(name: str) -> list[str]:
    """The typed lines of a part of the corpus."""
    entries = yaml.safe_load((CORPUS / f"{name}.yaml").read_text(encoding="utf-8"))
    return [entry["say"].replace("\n", " ") for entry in entries]


def prepare(folder: Path) -> None:
    """The environment of the runs: byte code, cache and what is hidden all in `folder`."""
    hiding = folder / "hiding"
    hiding.mkdir(parents=True)
    names = ", ".join(map(repr, _OF_THE_TESTS))
    (hiding / "sitecustomize.py").write_text(f"import sys\nsys.modules.update(dict.fromkeys(({names},)))\n")
    ENVIRONMENT["PYTHONPATH"] = str(hiding)
    ENVIRONMENT["PYTHONPYCACHEPREFIX"] = str(folder / "bytecode")
    ENVIRONMENT["XDG_CACHE_HOME"] = str(folder / "cache")


def process(*arguments: str, given: str = "", one_core: bool = False) -> float:
    """Seconds of a whole Python process."""
    pin = (lambda: os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})) if one_core else None
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments],
        input=given.encode(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
        env=ENVIRONMENT,
        preexec_fn=pin,
    )
    return time.perf_counter() - start


def peak(*arguments: str, given: str = "") -> float:
    """Peak memory of a ligule process in MiB, as the kernel counts it (VmHWM)."""
    code = (
        "import sys; from assistant.cli import main; main();"
        "print([line for line in open('/proc/self/status') if line.startswith('VmHWM')][0], file=sys.stderr)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, *arguments], input=given.encode(), capture_output=True, check=True, env=ENVIRONMENT
    )
    return int(run.stderr.decode().split()[-2]) / 1024


def paired(ours: Callable[[], float], yardstick: Callable[[], float], runs: int = RUNS) -> tuple[float, float, float]:
    """Medians of ours and of the yardstick, measured in turn after one run of each, and the median of their ratios."""
    ours(), yardstick()
    pairs = [(ours(), yardstick()) for _ in range(runs)]
    mine, theirs = (statistics.median(pair[place] for pair in pairs) for place in (0, 1))
    return mine, theirs, statistics.median(one / other for one, other in pairs)


def timed(work: Callable[..., object], *given: object) -> float:
    """Seconds that a piece of work takes."""
    start = time.perf_counter()
    work(*given)
    return time.perf_counter() - start


def answer_all(line: str, session: Session) -> None:
    """One turn, whole."""
    for _ in turn(line, session):
        pass


def at_percent(values: Iterable[float], percent: float) -> float:
    """The value below which so many of a hundred lie."""
    found = sorted(values)
    return found[min(len(found) - 1, int(len(found) * percent / 100))]


def ms(seconds: float) -> str:
    """`216 ms`, `1.85 ms`."""
    return f"{seconds * 1000:.0f} ms" if seconds >= 0.02 else f"{seconds * 1000:.2f} ms"


def say(what: str, measured: str, value: float, budget: float, least: bool = False, unit: str = "") -> None:
    """One line of the report: what was measured, the value held against the budget, and whether it is within."""
    word = "within" if (value >= budget if least else value <= budget) else "under" if least else "over"
    side = "at least" if least else "at most"
    tell(what, f"{measured:<62} {value:>8.2f}{unit}  budget {side} {budget:g}{unit}  {word}")


def tell(what: str, measured: str) -> None:
    """A line of the report that has no budget."""
    print(f"{what:<34} {measured}", flush=True)


def heading(words: str) -> None:
    print(f"\n{words}\n{'-' * len(words)}", flush=True)
