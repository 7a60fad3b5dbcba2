"""Finding the phrases of a list in a row of tokens: longest first, over hyphens and dots."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from typing import Any

from assistant.parsing.tokens import Token

_OVER = {".", "-"}
_MEANS = ""  # no word: what stands under it is what the phrase up to here means


class Phrases:
    """A compiled list: first word -> [(words, what it means)], longest first."""

    def __init__(self, table: dict[str, list[Any]]) -> None:
        self.table = table
        self._trees: dict[str, dict[str, Any]] = {}

    def at(
        self, tokens: Sequence[Token], i: int, texts: Sequence[str], barred: Container[int] = ()
    ) -> tuple[Any, int] | None:
        """What the longest phrase at token i means, and the place behind it. `texts` are the words of the tokens; a phrase does
        not reach into `barred` ones."""
        first = texts[i]
        tree = self._trees.get(first)
        if tree is None:
            tree = self._trees[first] = _tree_of(self.table.get(first, ()))
        if not tree or i in barred:
            return None
        found = _longest(tree, tokens, i + 1, texts, barred, 1)
        return found[1:] if found else None


def _tree_of(phrases: Iterable[tuple[list[str], Any]]) -> dict[str, Any]:
    """The phrases of one first word as a tree of the words behind it."""
    tree: dict[str, Any] = {}
    for words, meaning in phrases:
        node = tree
        for word in words[1:]:
            node = node.setdefault(word, {})
        node.setdefault(_MEANS, meaning)
    return tree


def _longest(
    node: dict[str, Any], tokens: Sequence[Token], j: int, texts: Sequence[str], barred: Container[int], words: int
) -> tuple[int, Any, int] | None:
    """Number of words, meaning and end of the longest phrase that goes on from here."""
    best = (words, node[_MEANS], j) if _MEANS in node else None
    if j >= len(texts) or (len(node) == 1 and best):
        return best
    word = texts[j]
    if word in node and j not in barred:
        further = _longest(node[word], tokens, j + 1, texts, barred, words + 1)
        best = further or best
    if word in _OVER and not tokens[j].spaced:
        over = _longest(
            {key: one for key, one in node.items() if key != word and key != _MEANS},
            tokens,
            j + 1,
            texts,
            barred,
            words,
        )
        best = over if over and (best is None or over[0] > best[0]) else best
    return best
