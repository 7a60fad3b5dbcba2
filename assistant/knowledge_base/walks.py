"""What knowledge/walk.yaml must hold to: every step, entry, caution and calculator that a stage names is there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from assistant.knowledge_base.files import Document, Fault, Where
from assistant.knowledge_base.practices import PRACTICES

WALK = "walk.yaml"
HOLE = re.compile(r"\{(\w+)\}")
_STAGE = {"title", "steps", "facts", "why", "checks", "cautions", "reads", "asks", "works", "weather", "beside"}
_WORK = {"title", "line", "fields", "only", "keep"}
_FIELD = {"label", "from", "usual", "like"}
_FIGURE = re.compile(r"\d")


def walk_faults(documents: dict[str, Document]) -> Iterator[Fault]:
    """Every fault of the walk, by line."""
    document = documents.get(WALK)
    if document is None:
        return
    data = document.data
    held = {
        "steps": {key for name, one in documents.items() if name.startswith("steps/") for key in _ids(one.data)},
        "reads": {key for name, one in documents.items() if name.startswith(PRACTICES) for key in one.data},
        "cautions": set(documents["cautions.yaml"].data) if "cautions.yaml" in documents else set(),
        "works": set(data.get("works", {})),
        "beside": set(data.get("beside", {})),
    }
    for key, stage in data.get("stages", {}).items():
        yield from _at(document, ("stages", key), _stage_faults(key, stage, held, set(data.get("weather", {}))))
    for key, work in (data.get("works", {}) | data.get("weather", {})).items():
        where = ("works" if key in data.get("works", {}) else "weather", key)
        yield from _at(document, where, _work_faults(key, work))
    for kind, stage in data.get("by_kind", {}).items():
        if stage not in data.get("stages", {}):
            yield Fault(WALK, document.line(("by_kind", kind)), f'{kind} goes to the stage "{stage}", which is none.')
    for step in data.get("told", {}):
        if step not in held["steps"]:
            yield Fault(WALK, document.line(("told", step)), f'"{step}" is no step of knowledge/steps.')


def _ids(data: dict[str, Any]) -> list[str]:
    """The steps of a file: by their keys, or by the ids of its list."""
    return [one["id"] for one in data["steps"]] if isinstance(data.get("steps"), list) else list(data)


def _stage_faults(key: str, stage: dict[str, Any], held: dict[str, set[str]], weather: set[str]) -> Iterator[str]:
    if not stage.get("title") or not (stage.get("steps") or stage.get("facts")):
        yield f"{key} needs a title, and steps or facts by which it is done."
    for field in sorted(set(stage) - _STAGE):
        yield f'{key} has the field "{field}", which a stage does not have.'
    for field, known in held.items():
        for name in stage.get(field, ()):
            if name not in known:
                yield f'{key} names "{name}" under {field}, which nothing holds.'
    if stage.get("weather", "") not in weather | {""}:
        yield f'{key} names the weather "{stage["weather"]}", which nothing holds.'
    for check, words in stage.get("checks", {}).items():
        if _FIGURE.search(str(words)):
            yield f"{key}.{check} has a figure without a source; name the entry that holds it under reads."


def _work_faults(key: str, work: dict[str, Any]) -> Iterator[str]:
    if "line" not in work:
        yield f"{key} lacks line: the question it asks."
        return
    for field in sorted(set(work) - _WORK):
        yield f'{key} has the field "{field}", which a calculator does not have.'
    fields = work.get("fields", {})
    holes = set(HOLE.findall(work["line"]))
    for name in sorted(holes ^ set(fields)):
        yield f"{key}: {{{name}}} stands in line or in fields, and must stand in both."
    for name, field in fields.items():
        if "label" not in field or not {"from", "like", "usual"} & set(field):
            yield f"{key}.{name} needs a label, and from, like or usual."
        for extra in sorted(set(field) - _FIELD):
            yield f'{key}.{name} has the field "{extra}", which a hole does not have.'


def _at(document: Document, where: Where, words: Iterator[str]) -> Iterator[Fault]:
    return (Fault(document.name, document.line(where), one) for one in words)
