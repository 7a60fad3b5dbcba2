"""Parts of the image that stay text until somebody looks at them: most of them nobody does, in one question."""

from __future__ import annotations

import json
from typing import Any

FOLDED = "folded"


def fold(entries: dict[str, Any]) -> dict[str, str]:
    """Each value as compact JSON."""
    return {key: json.dumps(value, separators=(",", ":"), ensure_ascii=False) for key, value in entries.items()}


class Unfolding(dict[str, Any]):
    """A mapping with further parts under `folded`, each of them read when it is first asked for."""

    def __init__(self, entries: dict[str, Any]) -> None:
        super().__init__(entries)
        self._texts: dict[str, str] = self.pop(FOLDED)

    def __missing__(self, key: str) -> Any:
        made = self[key] = json.loads(self._texts[key])
        return made

    def get(self, key: str, default: Any = None) -> Any:
        return self[key] if key in self else default  # noqa: SIM401 (this is get)

    def __contains__(self, key: object) -> bool:
        return super().__contains__(key) or key in self._texts

    def __iter__(self) -> Any:
        return iter(dict.fromkeys([*self._texts, *super().keys()]))

    def items(self) -> Any:
        return [(key, self[key]) for key in self]

    def values(self) -> Any:
        return [self[key] for key in self]
