"""`ligule sheet`: the work of a day, or a card for the owner of a lawn, on one page: Markdown, or HTML of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from html import escape

from assistant.lawn.program import Step, by_date
from assistant.skills.lawns import Due, load_words
from assistant.skills.running import Running
from assistant.skills.turn import Turn
from assistant.terms import day_words

_STYLE = (
    "body{font:11pt/1.35 serif;max-width:19cm;margin:1cm auto}h1{font-size:16pt}h2{font-size:12pt;margin:.8em 0 .2em}"
    "ul{margin:.2em 0}.box{font-family:monospace}@page{size:auto;margin:1.2cm}"
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of work: its title, blocks of (heading, lines), and what is said below."""

    title: str
    blocks: tuple[tuple[str, tuple[str, ...]], ...]
    cautions: tuple[str, ...]


def sheet_of(turn: Turn, found: list[Due], until: date) -> Sheet:
    """The steps that are due by a day, lawn by lawn, with what goes down on each."""
    blocks = []
    for one in found:
        area = one.lawn.facts.get("area")
        late = f", {one.step.late} days late" if one.step.late else ""
        lines = [f"[ ] {words}" for words in one.plan.amount_lines(one.step, area)] or ["[ ] done"]
        lines.append(f"Why then: {one.step.moved_by or one.step.why}.")
        lines.append("Start ........  end ........  wind ........  temperature ........  by ............")
        blocks.append((f"{one.lawn.name}: {one.step.title}, {day_words(one.step.day)}{late}", tuple(lines)))
    loads = load_words(turn, found)
    if loads:
        blocks.append(("On the truck", tuple(f"[ ] {words}" for words in loads)))
    words = turn.knowledge.entry("cautions")
    kept = ("label", "gear", "feed_water", "water_nearby")
    return Sheet(f"Work by {day_words(until)}", tuple(blocks), tuple(words[key] for key in kept))


def card_of(turn: Turn, plan: Running) -> Sheet:
    """A card to leave with the owner: water by date, when to keep off, what to expect by when, and when we come back."""
    steps = [step for step in by_date(plan.steps()) if step.open]
    first, last = plan.expected()
    day = plan.seed_day.amount.day
    up = f"Green shows {day_words(day + timedelta(days=first))} to {day_words(day + timedelta(days=last))}; not all at once."
    seen = [step for step in plan.steps() if step.id == "up" and step.state == "done"]
    expect = [f"It came up on {day_words(seen[0].day)}." if seen else up] if plan.sows else []
    expect += [_line(step) for step in steps if step.kind in ("cut", "check") and not step.care]
    blocks = (
        ("Water", tuple(_line(step) for step in steps if step.kind == "water")),
        (
            "Keep off it",
            (
                *(_line(step) for step in steps if step.kind == "guard"),
                turn.knowledge.entry("cautions.reentry"),
            ),
        ),
        ("What to expect", tuple(expect)),
        (
            "We come back",
            tuple(f"{step.title.capitalize()}: {_span(step)}." for step in steps if step.kind in ("feed", "weed")),
        ),
    )
    words = turn.knowledge.entry("cautions")
    when = f"seeded {day_words(day)}" if plan.sows and day <= turn.now.day else plan.first_day
    return Sheet(
        f"{plan.state.name}: {when}", tuple((heading, lines) for heading, lines in blocks if lines), (words["label"],)
    )


def _line(step: Step) -> str:
    return f"{_span(step)}: {step.title}; {step.why}."


def _span(step: Step) -> str:
    return day_words(step.day) if step.day == step.until else f"{day_words(step.day)} to {day_words(step.until)}"


def markdown(sheet: Sheet) -> str:
    """The page as Markdown; a name of the user's stays a name."""
    rows = [f"# {_plain(sheet.title)}"]
    for heading, lines in sheet.blocks:
        rows += ["", f"## {_plain(heading)}", "", *(f"- {_plain(line)}" for line in lines)]
    return "\n".join([*rows, "", "---", "", *(f"- {one}" for one in sheet.cautions), ""])


def html(sheet: Sheet) -> str:
    """The page as HTML: its style within, no script, nothing to fetch."""
    parts = [
        "<!doctype html>",
        f'<html lang="en"><head><meta charset="utf-8"><title>{escape(sheet.title)}</title><style>{_STYLE}</style></head><body>',
        f"<h1>{escape(sheet.title)}</h1>",
    ]
    for heading, lines in sheet.blocks:
        parts.append(f"<h2>{escape(heading)}</h2>")
        parts.append("<ul>" + "".join(f"<li>{_boxed(line)}</li>" for line in lines) + "</ul>")
    parts.append("<hr><ul>" + "".join(f"<li>{escape(one)}</li>" for one in sheet.cautions) + "</ul>")
    return "\n".join([*parts, "</body></html>", ""])


def _boxed(line: str) -> str:
    box = '<span class="box">[ ]</span> '
    return box + escape(line[4:]) if line.startswith("[ ] ") else escape(line)


def _plain(text: str) -> str:
    """No mark of the user's text is read as Markdown."""
    return "".join(f"\\{mark}" if mark in "\\`*_<>#|" else mark for mark in text.replace("\n", " "))
