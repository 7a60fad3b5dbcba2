"""How a text falls into words: one rule for the phrases of the knowledge base and for the lines that meet them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

# thousands marks; a decimal comma (one or two figures behind it); a plain number; a word; any other mark
TOKEN = re.compile(r"\d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?|\d+,\d{1,2}(?![\d,])|\d+(?:\.\d+)?|\.\d+|[a-z]+(?:'[a-z]+)*|\S")

_PLAIN = re.compile(r"[a-z]+|\d+")


def words_of(phrase: str) -> list[str]:
    """A phrase as the words that it will be met as.

    >>> words_of("Pre-emergent"), words_of("2,4-D")
    (['pre', '-', 'emergent'], ['2,4', '-', 'd'])
    """
    return TOKEN.findall(phrase.lower())


def stems_of(text: str, like: Mapping[str, str]) -> list[str]:
    """The words of a text without their endings, each once, in order; words that mean the same as the first of their group.

    >>> stems_of("Mowing wet grasses, mowing", {"grass": "lawn"})
    ['mow', 'wet', 'lawn']
    """
    stemmed = map(_stem, _PLAIN.findall(text.lower().replace("'", "").replace("’", "")))
    return list(dict.fromkeys(like.get(stem, stem) for stem in stemmed))


@lru_cache(maxsize=20_000)
def _stem(word: str) -> str:
    found: str = _stemmer().stemWord(word)
    return found


@cache
def _stemmer() -> Any:
    from snowballstemmer import stemmer  # twelve milliseconds: only for a line that is looked up in the practice

    return stemmer("english")
