"""Reading YAML with the line of every value, so that a fault can be told where it stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

Where = tuple[str | int, ...]


@dataclass(frozen=True)
class Fault:
    """One thing wrong in one file, with what to do about it."""

    file: str
    line: int
    words: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}  {self.words}"


class BrokenKnowledge(Exception):
    """Raised with every fault found, at once, by line."""

    def __init__(self, faults: list[Fault], files: int) -> None:
        self.faults = faults
        broken = len({fault.file for fault in faults})
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        super().__init__("\n".join([*map(str, faults), f"{count} in {broken} of {files} files."]))


@dataclass
class Document:
    """A parsed file: its data, and the line of each place in it."""

    name: str
    data: Any
    lines: dict[Where, int]

    def line(self, where: Where) -> int:
        while where and where not in self.lines:
            where = where[:-1]
        return self.lines.get(where, 1)


def names_in(folder: Path) -> list[str]:
    """The YAML files of a knowledge folder, relative, sorted."""
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml"))


def read(name: str, text: str) -> Document | Fault:
    """The data of one file, or the one fault that keeps it from being read."""
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)(text)
    try:
        node = loader.get_single_node()
        if node is None:
            return Fault(name, 1, "is empty. Give it at least one entry, or remove it.")
        lines: dict[Where, int] = {}
        twice = list(_walk(node, (), lines, Counter()))
        if twice:
            return Fault(name, twice[0][1], f'"{twice[0][0]}" stands twice. Keep one.')
        return Document(name, loader.construct_document(node), lines)
    except _Alias as alias:
        return Fault(name, alias.line, "is pointed back at far too often. Write out what is meant.")
    except (yaml.YAMLError, ValueError, RecursionError) as problem:
        mark = getattr(problem, "problem_mark", None)
        what = getattr(problem, "problem", None) or "cannot be read"
        return Fault(
            name,
            (mark.line if mark else 0) + 1,
            f"is not readable YAML here: {what}. Mend this line; the rest is untouched.",
        )
    finally:
        loader.dispose()


_MOST_MEANT = 40  # times that one part of a file may stand for another


class _Alias(Exception):
    """A part of a file that stands for another one: a few lines of such parts can grow without end."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


def _walk(node: Any, where: Where, lines: dict[Where, int], met: Counter[int]) -> Iterator[tuple[str, int]]:
    """Notes the line of every place; yields keys that stand twice."""
    met[id(node)] += 1
    if met[id(node)] > _MOST_MEANT:
        raise _Alias(node.start_mark.line + 1)
    lines[where] = node.start_mark.line + 1
    if node.id == "mapping":
        seen = set()
        for key, value in node.value:
            if key.value in seen:
                yield key.value, key.start_mark.line + 1
            seen.add(key.value)
            yield from _walk(value, (*where, key.value), lines, met)
            lines[(*where, key.value)] = key.start_mark.line + 1
    elif node.id == "sequence":
        for place, value in enumerate(node.value):
            yield from _walk(value, (*where, place), lines, met)
