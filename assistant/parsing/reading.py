"""From a line to what it holds: amounts, names, meanings, and the words that nobody read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from assistant.parsing.amounts import Reading, amounts_of
from assistant.parsing.tokens import Token, tokens_of
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Name, Now

_JOINS = {"plus", "and", ",", "+", "&", "also", "with", "or"}
_TAKES_OFF = {"minus", "less", "except", "without", "excluding", "subtract", "but", "deduct", "-"}
_OPEN_SIZED = {"area", "size"}


@dataclass(frozen=True, slots=True)
class Meaning:
    """A phrase that means something to the cues, with its place."""

    terms: tuple[str, ...]
    start: int
    end: int


@dataclass(slots=True)
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
    terms: set[str] = field(default_factory=set)

    def clause_of(self) -> list[int]:
        """For each token the number of the sentence it stands in."""
        numbers, current = [], 0
        for place, token in enumerate(self.tokens):
            numbers.append(current)
            if token.text in ".?!;" and not (
                token.text == "." and place + 1 < len(self.tokens) and not self.tokens[place + 1].spaced
            ):
                current += 1
        return numbers


def read(text: str, vocabulary: Vocabulary, now: Now) -> Line:
    """Never raises: what cannot be read is in `strange`."""
    tokens, corrected = _corrected(tokens_of(text), text, vocabulary)
    line = Line(text, tokens, [token.text for token in tokens], corrected=corrected)
    taken = _protected(tokens, vocabulary)
    line.amounts = amounts_of(tokens, vocabulary.measures, now, text, taken)
    _name_things(line, vocabulary)
    _mark_parts(line)
    for reading in line.amounts:
        phrase = " ".join(line.words[reading.start : reading.end])
        for words, meaning in vocabulary.meanings.table.get(line.words[reading.start], ()):
            if " ".join(words) == phrase:
                line.terms.update(term for term in meaning if term.startswith("~"))
    return line


def _protected(tokens: list[Token], vocabulary: Vocabulary) -> set[int]:
    """Names with figures in them (2,4-D, feed 3, 1st feed) come before anything numeric."""
    taken: set[int] = set()
    for i in range(len(tokens)):
        if i in taken:
            continue
        found = vocabulary.meanings.at(tokens, i)
        if found and any(not term.startswith("~") for term in found[0]):
            if any(token.kind == "number" for token in tokens[i : found[1]]):
                taken.update(range(i, found[1]))
    return taken


def _corrected(tokens: list[Token], text: str, vocabulary: Vocabulary) -> tuple[list[Token], list[tuple[str, str]]]:
    """Typing errors mended, word by word, and what was mended. A name in the middle of a sentence is left alone."""
    made, told = [], []
    for place, token in enumerate(tokens):
        word = token.text
        if token.kind == "word" and not (
            place and text[token.start].isupper() and not text[token.start : token.end].isupper()
        ):
            word = vocabulary.corrected(token.text)
        if word != token.text:
            told.append((text[token.start : token.end], word))
            token = replace(token, text=word)
        made.append(token)
    return made, told


def _name_things(line: Line, vocabulary: Vocabulary) -> None:
    in_amount = {place for reading in line.amounts for place in range(reading.start, reading.end)}
    i = 0
    while i < len(line.tokens):
        if i in in_amount:
            i += 1
            continue
        found = vocabulary.meanings.at(line.tokens, i, line.words)
        if found and not any(place in in_amount for place in range(i, found[1])):
            meaning, end = found
            span = (line.tokens[i].start, line.tokens[end - 1].end)
            lone = end - i == 1 and len(line.words[i]) == 1 and not _meant_as_symbol(line, i)
            for term in () if lone else meaning:
                if not term.startswith("~"):
                    line.names.append((Name(term, line.text[span[0] : span[1]], span), i, end))
            terms = tuple(term for term in meaning if term.startswith("~"))
            line.meanings.append(Meaning(terms, i, end))
            line.terms.update(terms)
            i = end
            continue
        unit = (
            vocabulary.measures.at(line.tokens, i, line.words)
            if line.tokens[i].kind == "word" and len(line.words[i]) > 1
            else None
        )
        if unit and line.words[i] not in ("in", "sec"):
            terms = tuple(f"<{reading[0]}>" for reading in unit[0])
            line.meanings.append(Meaning(terms, i, unit[1]))
            line.terms.update(terms)
            i = unit[1]
            continue
        if line.tokens[i].kind == "word" and line.words[i] not in vocabulary.small:
            line.strange.append(i)
        i += 1


def _meant_as_symbol(line: Line, i: int) -> bool:
    """N, P or K as a nutrient: in capitals, or behind a word that asks how much of it."""
    token = line.tokens[i]
    before = line.words[i - 1] if i else ""
    return line.text[token.start : token.end].isupper() or before in (
        "much",
        "lb",
        "lbs",
        "pounds",
        "of",
        "total",
        "actual",
    )


def _mark_parts(line: Line) -> None:
    """Signs of areas that are taken off: a minus holds on over `and` until a plus."""
    sign, last_end = 1, None
    for place, reading in enumerate(line.amounts):
        if reading.amount.kind == "number" and last_end is not None and _bare_part(line, reading, last_end):
            taken = replace(reading.amount, kind="area", units=("sq_ft",), assumed="square feet")
            reading = line.amounts[place] = replace(reading, amount=taken)
        if reading.amount.kind not in _OPEN_SIZED:
            continue
        between = line.words[last_end if last_end is not None else 0 : reading.start]
        if last_end is not None:
            if (
                reading.amount.assumed == "square feet"
                or any(word in _TAKES_OFF for word in between)
                or _phrase_takes_off(between)
            ):
                sign = -1
            elif "plus" in between or "add" in between or "+" in between:
                sign = 1
        last_end = reading.end
        what = next(
            (name for name, start, _ in line.names if name.type == "surface" and 0 <= start - reading.end <= 1), None
        )
        what = what or next(
            (name for name, _, end in line.names if name.type == "surface" and 0 <= reading.start - end <= 2), None
        )
        of = what.text.lower() if what and what.id != "surface.ground" and not reading.amount.of else reading.amount.of
        line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=sign, of=of))


def _bare_part(line: Line, reading: Reading, last_end: int) -> bool:
    """A bare number behind a minus, or named as a house or a drive: square feet to take off."""
    between = line.words[last_end : reading.start]
    named = any(
        name.type == "surface" and name.id != "surface.ground" and 0 <= reading.start - end <= 2
        for name, _, end in line.names
    )
    off = any(word in _TAKES_OFF for word in between) or _phrase_takes_off(between)
    return reading.amount.low >= 20 and (named or off)


def _phrase_takes_off(words: list[str]) -> bool:
    text = " ".join(words)
    return any(
        phrase in text
        for phrase in (
            "not counting",
            "take off",
            "taking off",
            "take out",
            "taking out",
            "knock off",
            "leave out",
            "leaving out",
            "don't count",
            "takes away",
            "take away",
        )
    )
