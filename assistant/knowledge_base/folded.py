"""How a section is packed, so that little of it is read: most entries nobody looks at, in one question."""

from __future__ import annotations

import json
from typing import Any

_TEXT = b"\n"  # what a plain text begins with; JSON never does
_ABSENT = -1


class Folded(dict[str, Any]):
    """Entries that are packed each on its own."""


def packed(data: Any) -> bytes:
    """A section as its image holds it: a text as it is, else compact JSON; of folded entries a line that says where each
    begins, and a line for each.

    >>> packed("a b"), packed({"a": [1, 2]}), packed(Folded(a=[1, 2], b="two"))
    (b'\\na b', b'{"a":[1,2]}', b'{"a":0,"b":6}\\n[1,2]\\n"two"\\n')
    """
    if isinstance(data, str):
        return _TEXT + data.encode()
    if not isinstance(data, Folded):
        return _compact(data)
    begins = {}
    entries = bytearray()
    for key, value in data.items():
        begins[key] = len(entries)
        entries += _compact(value) + b"\n"
    return _compact(begins) + b"\n" + entries


def unpacked(section: bytes) -> Any:
    """What was packed, folded entries as an Unfolding. Compact JSON has no line end: one tells that they are folded."""
    if section.startswith(_TEXT):
        return section[len(_TEXT) :].decode()
    return Unfolding(section) if b"\n" in section else json.loads(section)


def _compact(data: Any) -> bytes:
    return json.dumps(data, separators=(",", ":"), ensure_ascii=False).encode()


class Unfolding(dict[str, Any]):
    """A mapping whose values are read when they are first asked for, each from the line where it begins."""

    def __init__(self, section: bytes) -> None:
        super().__init__()
        self._section = section
        self._first = section.index(b"\n") + 1
        self._begins = b"," + section[1 : self._first - 2] + b","  # a comma on either side of each
        self._places: dict[object, int] = {}

    def afresh(self) -> Unfolding:
        """The same entries for somebody who adds his own."""
        return Unfolding(self._section)

    def _place(self, key: object) -> int:
        """Where an entry begins. In the line that says so a bare quote stands before or behind a key and nowhere else."""
        if key not in self._places:
            told = b"," + _compact(key) + b":"
            at = self._begins.find(told)
            number = self._begins[at + len(told) : self._begins.find(b",", at + len(told))]
            self._places[key] = self._first + int(number) if at >= 0 else _ABSENT
        return self._places[key]

    def __missing__(self, key: str) -> Any:
        place = self._place(key)
        if place == _ABSENT:
            raise KeyError(key)
        made = self[key] = json.loads(self._section[place : self._section.index(b"\n", place)])
        return made

    def get(self, key: str, default: Any = None) -> Any:
        return self[key] if key in self else default  # noqa: SIM401 (this is get)

    def __contains__(self, key: object) -> bool:
        return super().__contains__(key) or self._place(key) != _ABSENT

    def __iter__(self) -> Any:
        return iter(dict.fromkeys([*json.loads(self._section[: self._first]), *super().keys()]))

    def items(self) -> Any:
        return [(key, self[key]) for key in self]

    def values(self) -> Any:
        return [self[key] for key in self]
