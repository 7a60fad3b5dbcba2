"""Text to tokens. Spans always point into the line as it was typed, whatever was made plain on the way."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from assistant.knowledge_base.words import TOKEN

_PLAIN = {
    "’": "'",
    "‘": "'",
    "′": "'",
    "“": '"',
    "”": '"',
    "″": '"',
    "×": "x",
    "–": "-",
    "—": "-",
    "−": "-",
    "º": "°",
    "˚": "°",
}
_DECIMAL_COMMA = re.compile(r"\d+,\d{1,2}")
_PAIR = re.compile(r"(?<=\()-?[\d.]+\s*,\s*-?[\d.]+(?=\))")  # (40,95) is a corner, not 40.95
_MOST = 1e30  # a longer row of figures is cut to this, which no slot believes


@dataclass(frozen=True, slots=True)
class Token:
    text: str
    kind: str  # number, word, mark
    start: int
    end: int
    spaced: bool  # a blank stands before it

    @property
    def value(self) -> float:
        text = self.text.replace(",", "." if _DECIMAL_COMMA.fullmatch(self.text) else "")
        return min(float(text), _MOST)


def tokens_of(text: str) -> list[Token]:
    """Numbers, words and single marks of a line, in order, lower case."""
    plain, origin = _plain(text)
    plain = _PAIR.sub(lambda pair: pair.group().replace(",", ";"), plain)
    found = []
    last_end = 0
    for match in TOKEN.finditer(plain):
        word = match.group()
        first = word[0]
        if first.isascii() and (first.isdigit() or (first == "." and len(word) > 1)):
            kind = "number"
        else:
            kind = "word" if first.isascii() and first.isalpha() else "mark"
        start, end = match.span()
        span = (start, end) if origin is None else (origin[start], origin[end - 1] + 1)
        found.append(Token(word, kind, *span, spaced=start > last_end or start == 0))
        last_end = end
    return found


def _plain(text: str) -> tuple[str, list[int] | None]:
    """Lower case, typographic marks and fractions made plain, with a map back where the length changed."""
    lowered = text.lower()
    if text.isascii():
        return lowered, None
    made: list[str] = []
    origin: list[int] = []
    for place, mark in enumerate(text):
        for part in _expand(mark):
            made.append(part)
            origin.append(place)
    return "".join(made), origin


def _expand(mark: str) -> str:
    if mark.isascii():
        return mark.lower()
    if mark in _PLAIN:
        return _PLAIN[mark]
    if unicodedata.category(mark) in ("Cc", "Cf", "Zs", "Zl", "Zp", "Cs", "Co", "Cn"):
        return " "
    spelled = unicodedata.normalize("NFKC", mark).replace("\u2044", "/").lower()
    if unicodedata.category(mark) == "No" and "/" in spelled:
        return " " + spelled  # a fraction may stand right behind its whole number
    return spelled if spelled.isascii() else mark
