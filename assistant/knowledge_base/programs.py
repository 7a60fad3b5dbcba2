"""Programs as they run, put together from their file, the steps it names, and one way of feeding each.

A program file lists its steps: the name of a shared step (knowledge/steps), a shared step with changes (`use`), or one
of its own. `feeds` stands for the feeds of each form, so that a program of two forms is written once.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from assistant.knowledge_base.files import Document, Fault, Where

_FEEDS = "steps/feeds_"
_FORMS = ("liquid", "granular")
_ANCHORS = {"seed_day", "emergence", "calendar"}
_KINDS = {
    "sow",
    "feed",
    "prepare",
    "kill",
    "call",
    "order",
    "check",
    "water",
    "guard",
    "cut",
    "weed",
    "sow_again",
}
_STEP_FIELDS = {
    "id",
    "use",
    "title",
    "kind",
    "counted_from",
    "day",
    "working_days",
    "before",
    "least_gap",
    "most_gap",
    "only_after",
    "not_after",
    "after_mowings",
    "instead_of",
    "done_by",
    "care",
    "by_sight",
    "too_late",
    "buys",
    "takes",
    "why",
    "amounts",
}
_PROGRAM_FIELDS = {
    "name",
    "called",
    "season",
    "source",
    "job",
    "seed_days",
    "emergence",
    "in_short",
    "forms",
    "steps",
    "changes",
    "product",
    "sows",
    "on_warm",
}
_REQUIRED = ("id", "title", "kind", "counted_from", "why")


def programs_of(documents: dict[str, Document]) -> dict[str, dict[str, Any]]:
    """`fall_liquid` -> the rules of that program: what a lawn's start event keeps."""
    shared = _shared(documents)
    made = {}
    for name, document in documents.items():
        if name.startswith("programs/"):
            key = name.removesuffix(".yaml").partition("/")[2]
            for form in document.data.get("forms", _FORMS):
                feeds = documents[f"{_FEEDS}{form}.yaml"].data if f"{_FEEDS}{form}.yaml" in documents else {}
                made[f"{key}_{form}" if feeds else key] = _rules(key, document.data, feeds, shared)
    return made


def program_names(documents: dict[str, Document]) -> Iterator[tuple[str, str]]:
    """(phrase, type.id): a form of feeding by its own names, a program by those of its file."""
    for name, document in documents.items():
        stem = name.removesuffix(".yaml")
        kind = "feeding" if stem.startswith(_FEEDS) else "program" if stem.startswith("programs/") else ""
        key = stem.removeprefix(_FEEDS) if kind == "feeding" else stem.partition("/")[2]
        if kind:
            yield from ((str(phrase), f"{kind}.{key}") for phrase in document.data.get("called", []))


def _shared(documents: dict[str, Document]) -> dict[str, Any]:
    return {
        key: step
        for name, document in documents.items()
        if name.startswith("steps/") and not name.startswith(_FEEDS)
        for key, step in document.data.items()
    }


def _rules(key: str, program: dict[str, Any], feeds: dict[str, Any], shared: dict[str, Any]) -> dict[str, Any]:
    name = program.get("name", "")
    part = feeds.get("as_part", "")
    made = {
        "plan": key,
        "name": f"{name} with {part}" if name and part else name or feeds.get("name", key),
        "form": feeds.get("form", ""),
        "season": program.get("season", ""),
        "job": program.get("job", ""),
        "source": program.get("source") or feeds.get("source", "common practice"),
        "in_short": "; ".join(words for words in (program.get("in_short"), feeds.get("in_short")) if words),
        "product": program.get("product") or feeds.get("product", ""),
        "speaks": feeds.get("speaks", []),
        "steps": _steps(program, feeds, shared),
    }
    made.update({field: program[field] for field in ("seed_days", "emergence", "sows", "on_warm") if field in program})
    return made


def _steps(program: dict[str, Any], feeds: dict[str, Any], shared: dict[str, Any]) -> list[dict[str, Any]]:
    changes = program.get("changes", {})
    made: list[dict[str, Any]] = []
    for entry in program["steps"]:
        if entry == "feeds":
            for step in feeds.get("steps", []):
                change = changes.get(step["id"], {})
                if change is not None:
                    made.append({**step, **change})
        elif isinstance(entry, str):
            made.append({"id": entry, **shared[entry]})
        else:
            made.append(_own(entry, shared))
    return made


def _own(entry: dict[str, Any], shared: dict[str, Any]) -> dict[str, Any]:
    """A step of the program's own, or a shared one with changes."""
    base = {"id": entry["use"], **shared[entry["use"]]} if "use" in entry else {}
    return {**base, **{field: value for field, value in entry.items() if field != "use"}}


# checks ------------------------------------------------------------------------------------------------------------------


def program_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """Every fault of the program files, by file and line: names that nothing holds, steps that lack something."""
    shared = _shared(documents)
    forms = {name.removeprefix(_FEEDS).removesuffix(".yaml") for name in documents if name.startswith(_FEEDS)}
    for name, document in documents.items():
        if not name.startswith("programs/"):
            continue
        data = document.data
        if not isinstance(data, dict) or not isinstance(data.get("steps"), list) or not data["steps"]:
            yield Fault(name, 1, "A program needs steps: a list. See any file in knowledge/programs.")
            continue
        for field in data:
            if field not in _PROGRAM_FIELDS:
                yield _fault(document, (field,), f'A program has no field "{field}".')
        known: set[str] = set()
        for place, entry in enumerate(data["steps"]):
            where: Where = ("steps", place)
            if entry == "feeds":
                known |= {
                    step["id"] for form in forms for step in documents[f"{_FEEDS}{form}.yaml"].data.get("steps", [])
                }
            elif isinstance(entry, str):
                if entry not in shared:
                    yield _fault(document, where, f'"{entry}" is no shared step; those are in knowledge/steps.')
                known.add(entry)
            elif isinstance(entry, dict):
                if "use" in entry and entry["use"] not in shared:
                    yield _fault(document, where, f'"{entry["use"]}" is no shared step; those are in knowledge/steps.')
                    continue
                step = _own(entry, shared)
                yield from (_fault(document, where, words) for words in _step_faults(step, known))
                known.add(str(step.get("id", "")))
            else:
                yield _fault(document, where, "A step is a name of a shared step, or a mapping.")


def _step_faults(step: dict[str, Any], known: set[str]) -> Iterator[str]:
    name = step.get("id", "a step")
    for field in _REQUIRED:
        if field not in step:
            yield f"{name} lacks {field}."
    if step.get("id") in known:
        yield f"{name} stands twice; a step has one place."
    if not ("day" in step or "working_days" in step):
        yield f"{name} lacks day: low, high, unit and source, or from and to."
    for field in sorted(set(step) - _STEP_FIELDS):
        yield f'{name} has the field "{field}", which a step does not have.'
    if "kind" in step and step["kind"] not in _KINDS:
        yield f'{name} is of the kind "{step["kind"]}"; it is one of {", ".join(sorted(_KINDS))}.'
    anchor = step.get("counted_from", "seed_day")
    if anchor not in _ANCHORS | known:
        yield f'{name} is counted from "{anchor}", which is no step before it, nor seed_day, emergence or calendar.'
    for field in ("least_gap", "most_gap"):
        after = step.get(field, {}).get("after", "") if isinstance(step.get(field, {}), dict) else ""
        if field in step and after not in known:
            yield f'{name} keeps its {field} after "{after}", which is no step before it.'
    if anchor == "calendar":
        day = step.get("day", {})
        if not all(_is_month_day(day.get(end)) for end in ("from", "to")):
            yield f'{name} needs day: from and to as "03-15".'


def _is_month_day(text: Any) -> bool:
    from datetime import date

    try:
        date(2023, int(str(text)[:2]), int(str(text)[3:]))
    except ValueError:
        return False
    return len(str(text)) == 5


def _fault(document: Document, where: Where, words: str) -> Fault:
    return Fault(document.name, document.line(where), words)
