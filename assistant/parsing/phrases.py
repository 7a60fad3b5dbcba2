"""Finding the phrases of a list in a row of tokens: longest first, over hyphens and dots."""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Any

from assistant.parsing.tokens import Token

_OVER = {".", "-"}


class Phrases:
    """A compiled list: first word -> [(words, what it means)], longest first."""

    def __init__(self, table: dict[str, list[Any]]) -> None:
        self.table = table

    def at(
        self, tokens: Sequence[Token], i: int, texts: Sequence[str] | None = None, barred: Container[int] = ()
    ) -> tuple[Any, int] | None:
        """What the longest phrase at token i means, and the place behind it. `texts` stands in for the tokens' own
        words where those were corrected; a phrase does not reach into `barred` tokens."""
        spell = texts or [token.text for token in tokens]
        for words, meaning in self.table.get(spell[i], ()):
            j, fits = i, True
            for n, word in enumerate(words):
                while n and j < len(spell) and spell[j] != word and spell[j] in _OVER and not tokens[j].spaced:
                    j += 1
                if j >= len(spell) or spell[j] != word or j in barred:
                    fits = False
                    break
                j += 1
            if fits:
                return meaning, j
        return None
