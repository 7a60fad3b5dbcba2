"""Asks the whole program, as another program would, and compares its figures as quantities."""

from __future__ import annotations

import json
import subprocess
import sys

import pint

REFERENCE = pint.UnitRegistry()  # pint's own default registry: what other programs read our units with
REFERENCE.define("USD = [money]")


def ligule(*arguments: str, home: object, given: str | bytes = "", today: str = "2026-09-05", **options):
    """Runs ligule in a fresh process."""
    data = given.encode() if isinstance(given, str) else given
    call = [sys.executable, "-m", "assistant", *arguments, "--home", str(home), "--today", today]
    if arguments and arguments[0] == "ask":
        call = [sys.executable, "-m", "assistant", "--home", str(home), "--today", today, *arguments]
    return subprocess.run(call, input=data, capture_output=True, timeout=60, **options)


def ask_all(questions: list[str], home: object, today: str = "2026-09-05") -> list[dict]:
    """One JSON answer a question, each question on its own."""
    run = ligule("ask", "--json", "-", home=home, given="".join(question + "\n" for question in questions), today=today)
    assert run.returncode == 0, run.stderr.decode()
    answers = [json.loads(line) for line in run.stdout.decode("ascii").splitlines()]
    assert len(answers) == len(questions)
    return answers


def quantity(value: float, unit: str, per: str = "") -> pint.Quantity:
    made = REFERENCE.Quantity(float(value), REFERENCE.parse_units(unit) if unit else "")
    if per:
        number, _, name = per.partition(" ")
        made = made / (REFERENCE.Quantity(float(number), name) if name else REFERENCE.Quantity(1, per))
    return made


def matches(figure: dict, want: dict, tolerance: float = 0.005) -> bool:
    """True where a figure is the wanted one: the same quantity, of the same thing."""
    if want.get("of") and figure.get("of") != want["of"]:
        return False
    for end in ("value", "low", "high"):
        if (end in want) != (end in figure):
            return False
        if end in want:
            have = quantity(figure[end], figure.get("unit", ""), figure.get("per", ""))
            goal = quantity(want[end], want.get("unit", ""), want.get("per", ""))
            if have.dimensionality != goal.dimensionality:
                return False
            if abs(have.to(goal.units).magnitude - goal.magnitude) > tolerance * max(abs(goal.magnitude), 1e-12):
                return False
    return True
