"""What was found in a line, before any intent is thought of."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from assistant.parsing.readings import Reading
from assistant.parsing.tokens import Token
from assistant.terms import Name

LESSER_PART = "lesser_part"  # of a name: a grass of a mix, beside the one that the record holds
OF_PLACES = {"place", "lawn"}


class Meaning(NamedTuple):
    """A phrase that means something to the cues, with its place."""

    terms: tuple[str, ...]
    start: int
    end: int


@dataclass
class Line:
    """Everything found in a line, before any intent is thought of."""

    text: str
    tokens: list[Token]
    words: list[str]  # the tokens' words
    amounts: list[Reading] = field(default_factory=list)
    names: list[tuple[Name, int, int]] = field(default_factory=list)
    meanings: list[Meaning] = field(default_factory=list)
    strange: list[int] = field(default_factory=list)  # tokens that no rule read
    corrected: list[tuple[str, str]] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)  # tokens where a question begins
    rivals: list[Reading] = field(default_factory=list)  # two figures for one thing that do not agree
    terms: set[str] = field(default_factory=set)

    @property
    def begins(self) -> bool:
        """True where it begins as a question does."""
        return self.starts[:1] == [0]

    @property
    def asks(self) -> bool:
        """True where a question stands somewhere in it."""
        return bool(self.starts) or "?" in self.words

    @cached_property
    def word_set(self) -> frozenset[str]:
        """Its words, in no order."""
        return frozenset(self.words)

    @cached_property
    def clauses(self) -> list[int]:
        """For each token the number of the sentence it stands in."""
        numbers, current = [], 0
        for place, token in enumerate(self.tokens):
            numbers.append(current)
            if token.text in ".?!;" and not (
                token.text == "." and place + 1 < len(self.tokens) and not self.tokens[place + 1].spaced
            ):
                current += 1
        return numbers
