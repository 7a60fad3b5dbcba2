"""How a text falls into words: one rule for the phrases of the knowledge base and for the lines that meet them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

# 1e3; thousands marks; a decimal comma (one or two figures behind it); a plain number; a word; any other mark
TOKEN = re.compile(
    r"\d+(?:\.\d+)?e[+-]?\d+(?![a-z\d])|\d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?|\d+,\d{1,2}(?![\d,])|\d+(?:\.\d+)?|\.\d+|[a-z]+(?:'[a-z]+)*|\S"
)

OF_INTENTS = "intents."  # what is asked of our own questions, among all that is asked
NONE_OF_OURS = "none."  # and what is refused

_NO_STEMS: Mapping[str, str] = {}
_PLAIN = re.compile(r"[a-z]+|\d+")


def words_of(phrase: str) -> list[str]:
    """A phrase as the words that it will be met as.

    >>> words_of("Pre-emergent"), words_of("2,4-D")
    (['pre', '-', 'emergent'], ['2,4', '-', 'd'])
    """
    return TOKEN.findall(phrase.lower())


def stems_of(text: str, like: Mapping[str, str], known: Mapping[str, str] = _NO_STEMS) -> list[str]:
    """The words of a text without their endings, each once, in order; words that mean the same as the first of their group.
    `known` holds stems that were found before.

    >>> stems_of("Mowing wet grasses, mowing", {"grass": "lawn"})
    ['mow', 'wet', 'lawn']
    """
    stemmed = (known.get(word) or stem_of(word) for word in plain_words(text))
    return list(dict.fromkeys(like.get(stem, stem) for stem in stemmed))


def plain_words(text: str) -> list[str]:
    """The words and figures of a text, without apostrophes."""
    return _PLAIN.findall(text.lower().replace("'", "").replace("\u2019", ""))


@lru_cache(maxsize=20_000)
def stem_of(word: str) -> str:
    """A word without its ending."""
    found: str = _stemmer().stemWord(word)
    return found


@cache
def _stemmer() -> Any:
    from snowballstemmer import stemmer  # twelve milliseconds: only for a word that nothing that is asked holds

    return stemmer("english")
