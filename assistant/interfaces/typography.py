"""An answer set as a job ticket: headline, figures in columns, the deciding rule, cautions, working, what is on record.

A margin of two columns holds the mark of a row: ! caution, + put on record, ? asked back. Nothing of an answer is left
out but its sources, which are counted here and named when they are asked for, and a line that says only what stands in
the columns. Everything is made from the fields of Answer; a skill knows nothing of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import fields, replace
from datetime import date
from itertools import groupby
from typing import Any

from assistant.answer import ANSWERED, ASKS, RECORDED, Answer, Ask, Figure
from assistant.interfaces.actions import key_of
from assistant.interfaces.ink import ALARM, PLAIN, QUIET, STRONG, WIDEST, Row, columns, paragraph, wide
from assistant.interfaces.printing import safe
from assistant.interfaces.tape import tape
from assistant.terms import UNSOURCED
from assistant.wording import written

_SAYS = re.compile(r"^(?P<rule>.*): (?P<says>yes|no|with care|borderline)\.$", re.DOTALL)
_HEAD = re.compile(r"^(?P<head>[^:;.()]{2,22}): (?P<words>\S.*)$", re.DOTALL)
_STEP = re.compile(
    r"^(?P<when>(day |by seed day|\d+ (to \d+ )?days? before|(Mon|Tue|Wed|Thu|Fri|Sat|Sun) )[^:]*): (?P<what>\S.*)$"
)
_STATE = re.compile(r"^[^,]+, (?P<state>due|done|dropped|coming|on now)\b")
_JOINING = re.compile(r"puts down|in all|per 1,000 sq ft|per 100 sq m|\b(and|or|of)\b|[,.;\s]", re.IGNORECASE)
_NO_TABLE = ("practice.", "other.", "help.")  # their figures stand in the sentence, under names of the knowledge base
_SEVERAL = 3  # figures in one sentence, beside which columns would say it all twice
_HANG = 2


def set_answer(answer: Answer, width: int, today: date, unicode: bool = True) -> list[Row]:
    """The rows of an answer for a terminal of that width."""
    answer = _clean(answer, unicode)
    room = min(width - 1, WIDEST)
    rows = _headline(answer, room)
    table, lines = _figures(answer, answer.intent)
    rows += _gap(columns_of_figures(table, room))
    rows += _gap(tape(answer.figures, room, today, _states(lines)) if answer.intent.startswith("plan.") else [])
    rows += _gap(_lines(lines, room))
    rows += _gap([row for words in answer.cautions for row in paragraph(words, room, mark="!", mark_ink=ALARM)])
    working = [row for line in answer.working for row in paragraph(line, room, QUIET, hang=_HANG)]
    rows += _gap(working + _behind(answer, room))  # what may be looked up, behind what must be seen
    rows += _gap([row for words in _kept(answer) for row in paragraph(words, room, mark="+", mark_ink=STRONG)])
    rows += _gap(_asked(answer, room))
    return rows[1:] if rows and rows[0] == () else rows


def _clean(answer: Answer, unicode: bool) -> Answer:
    """The answer with every mark of it made safe, before anything is measured."""

    def made(value: Any) -> Any:
        if isinstance(value, str):
            return safe(value, unicode)
        if isinstance(value, tuple):
            return tuple(made(one) for one in value)
        if isinstance(value, Figure | Ask):
            return replace(value, **{one.name: made(getattr(value, one.name)) for one in fields(value)})
        return value

    held = ("headline", "lines", "working", "cautions", "choices", "changes", "asks", "figures")
    return replace(answer, **{name: made(getattr(answer, name)) for name in held})


def _gap(rows: list[Row]) -> list[Row]:
    return [(), *rows] if rows else []


def _headline(answer: Answer, room: int) -> list[Row]:
    if not answer.headline:
        return []
    if answer.headline in {f"{change}. Recorded." for change in answer.changes}:
        return paragraph(answer.headline, room, STRONG, mark="+", mark_ink=STRONG)
    ink = STRONG if answer.status in (ANSWERED, RECORDED, ASKS) else PLAIN
    first, rest = answer.headline, ""
    if wide(first) > room - 2:  # a long answer leads with its first sentence
        first, dot, rest = first.partition(". ")
        first += dot.rstrip()
    rows = paragraph(first, room, ink)
    return rows + (paragraph(rest, room) if rest else [])


# the figures ---------------------------------------------------------------------------------------------------------


def _figures(answer: Answer, intent: str) -> tuple[list[Figure], list[str]]:
    """The figures that go into columns, and the lines that are left beside them.

    Columns are worth their place where they say what a line would only say again, or what stands nowhere else.
    """
    lines = list(answer.lines)
    found = [one for one in answer.figures if one.day is None]
    if not found or intent.startswith(_NO_TABLE):
        return [], lines
    told = [_written(one) for one in found]
    kept = [line for line in lines if not _repeats(line, found, told)]
    again = any(sum(words in line for words in told) >= _SEVERAL for line in kept)
    if len(kept) < len(lines) and len(found) > 1 and not again:
        return found, kept
    said = "\n".join((answer.headline, *lines, *answer.working))
    return [one for one in found if _written(one).partition(" per ")[0] not in said], lines


def _written(figure: Figure) -> str:
    return written(figure.low, figure.high, figure.unit, figure.per)


def _repeats(line: str, figures: list[Figure], told: list[str]) -> bool:
    """True for a line that holds nothing but these figures and their names."""
    left = line
    if not any(mark.isdigit() for mark in line):
        return False
    bare = [written(one.low, one.high, one.unit) for one in figures]
    for words in sorted({*told, *bare}, key=len, reverse=True):
        left = left.replace(words, " ")
    for words in sorted(
        {one.of or one.label for one in figures} | {one.label for one in figures}, key=len, reverse=True
    ):
        left = left.replace(words, " ")
    return not _JOINING.sub("", left)


def columns_of_figures(figures: list[Figure], room: int) -> list[Row]:
    """Name, number and unit in columns, the numbers set to the right; what is in all stands beside its rate."""
    if not figures:
        return []
    cells = [_cell(one) for one in figures]
    beside = {_base(label): (number, unit) for label, number, unit in cells if " in all" in label}
    rows = [(label, number, unit, beside.get(label)) for label, number, unit in cells if " in all" not in label]
    paired = {label for label, *_ in rows}
    alone = [cell for cell in cells if " in all" in cell[0] and _base(cell[0]) not in paired]
    rows += [(label, number, unit, None) for label, number, unit in alone]
    names = max(wide(label) for label, *_ in rows)
    numbers = max(wide(number) for _, number, *_ in rows)
    units = max(wide(unit) for _, _, unit, _ in rows)
    totals = max((wide(total[0]) for *_, total in rows if total), default=0)
    made: list[Row] = []
    for label, number, unit, total in rows:
        line = f"{number:>{numbers}}{unit}"
        row: Row = ((PLAIN, f"  {label:<{names}}  "), (STRONG, line))
        words = f"{total[0]:>{totals}}{total[1]} in all" if total else ""
        if words and 2 + names + 2 + numbers + units + 3 + wide(words) <= room:
            row = (*row, (PLAIN, " " * (numbers + units - wide(line) + 3) + words))
            words = ""
        made.append(row)
        if words:
            made.append(((PLAIN, f"  {'':<{names}}  {words.strip():>{numbers}}"),))
    return made


def _base(label: str) -> str:
    return label.removesuffix(" in all").replace(" in all,", ",")


def _cell(figure: Figure) -> tuple[str, str, str]:
    """Label, number, and unit with the blank before it."""
    number, words = written(figure.low, figure.high, ""), _written(figure)
    return (figure.label, number, words[len(number) :]) if words.startswith(number) else (figure.label, words, "")


# the lines -----------------------------------------------------------------------------------------------------------


def _lines(lines: Iterable[str], room: int) -> list[Row]:
    """Lines of one kind stand together: verdicts by rule, rows with a short head in two columns, pictures as drawn."""
    rows: list[Row] = []
    for kind, group in groupby(lines, _kind):
        held = list(group)
        if kind == "verdict":
            rows += _verdicts(held, room)
        elif kind == "drawn":
            rows += [row for line in held for row in _drawn(line, room)]
        elif kind == "step":
            rows += [row for line in held for row in _step(line, room)]
        elif kind == "head" and len(held) > 1:
            pairs = [(match["head"], match["words"]) for line in held if (match := _HEAD.match(line))]
            same = [(head if n == 0 or head != pairs[n - 1][0] else "", words) for n, (head, words) in enumerate(pairs)]
            rows += columns(same, room, left_ink=QUIET)
        else:
            rows += [row for line in held for row in paragraph(line, room, hang=_HANG)]
    return rows


def _kind(line: str) -> str:
    if _SAYS.match(line):
        return "verdict"
    if line.startswith(" ") or "    " in line or line.rstrip().endswith("**"):
        return "drawn"
    if _STEP.match(line):
        return "step"
    return "head" if _HEAD.match(line) else "plain"


def _states(lines: Iterable[str]) -> dict[str, str]:
    """Title -> how a dated step stands, as its line says."""
    said = (match["what"] for line in lines if (match := _STEP.match(line)))
    return {what.partition(",")[0]: state["state"] for what in said if (state := _STATE.match(what))}


def _drawn(line: str, room: int) -> list[Row]:
    """A row of a picture as it is; an indented line that is too long keeps its indent."""
    if wide(line) <= room - 2:
        return [((PLAIN, f"  {line}"),)]
    left = len(line) - len(line.lstrip())
    return [((PLAIN, " " * left), *row) for row in paragraph(line, room - left, hang=_HANG)]


def _step(line: str, room: int) -> list[Row]:
    """A dated step: when, standing back, and what; on two rows where one is too short. What is due stands out, what is done stands back."""
    match = _STEP.match(line)
    assert match is not None
    when, what = match["when"], match["what"]
    state = _STATE.match(what)
    ink = {"due": STRONG, "done": QUIET, "dropped": QUIET}.get(state["state"], PLAIN) if state else PLAIN
    if wide(line) <= room - 2:
        return [((PLAIN, "  "), (QUIET, f"{when}: "), (ink, what))]
    rows = paragraph(what, room - 2, ink, hang=0)
    return paragraph(when, room, QUIET, hang=_HANG) + [((PLAIN, "  "), *row) for row in rows]


def _verdicts(lines: list[str], room: int) -> list[Row]:
    """Each rule behind its word: what speaks against stands out, what is in order stands back."""
    pairs = [(match["says"], match["rule"]) for line in lines if (match := _SAYS.match(line))]
    left = max(len(says) for says, _ in pairs)
    rows: list[Row] = []
    for says, rule in pairs:
        quiet = says == "yes"
        ink = QUIET if quiet else ALARM if says == "no" else STRONG
        rows += columns([(f"{says:<{left}}", f"{rule}.")], room, ink, QUIET if quiet else PLAIN)
    return rows


# what stands behind it, what was kept, what is asked -------------------------------------------------------------------


def _behind(answer: Answer, room: int) -> list[Row]:
    """How many pages stand behind it; `why` names them."""
    if not answer.sources or answer.intent == "other.why":
        return []
    loose = [one.words for one in answer.sources if one.key in UNSOURCED]
    printed = len(answer.sources) - len(loose)
    words = [f"{printed} page{'' if printed == 1 else 's'} in print"] if printed else []
    return paragraph(f"Says who ({key_of('why')}): {'; '.join([*words, *loose])}.", room, QUIET, hang=_HANG)


def _kept(answer: Answer) -> list[str]:
    return [f"{change}. Recorded." for change in answer.changes if answer.headline != f"{change}. Recorded."]


def _asked(answer: Answer, room: int) -> list[Row]:
    choices = answer.choices or (answer.asks.choices if answer.asks else ())
    rows = paragraph(answer.asks.words, room, STRONG, mark="?", mark_ink=STRONG) if answer.asks else []
    return rows + (columns([(str(place), words) for place, words in enumerate(choices, 1)], room) if choices else [])


def set_sources(answer: Answer, addresses: dict[str, str], width: int, unicode: bool = True) -> list[Row]:
    """Every source of an answer, a row each, with where to find it."""
    room = min(width - 1, WIDEST)
    rows: list[Row] = []
    for one in answer.sources:
        rows += paragraph(safe(one.words or one.title, unicode), room, hang=_HANG)
        if one.key in addresses:
            rows.append(((QUIET, f"    {safe(addresses[one.key], unicode)}"),))
    return rows
