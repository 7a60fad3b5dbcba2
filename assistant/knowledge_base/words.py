"""How a text falls into words: one rule for the phrases of the knowledge base and for the lines that meet them."""

from __future__ import annotations

import re

# thousands marks; a decimal comma (one or two figures behind it); a plain number; a word; any other mark
TOKEN = re.compile(r"\d{1,3}(?:,\d{3})+(?!\d)(?:\.\d+)?|\d+,\d{1,2}(?![\d,])|\d+(?:\.\d+)?|\.\d+|[a-z]+(?:'[a-z]+)*|\S")


def words_of(phrase: str) -> list[str]:
    """A phrase as the words that it will be met as.

    >>> words_of("Pre-emergent"), words_of("2,4-D")
    (['pre', '-', 'emergent'], ['2,4', '-', 'd'])
    """
    return TOKEN.findall(phrase.lower())
