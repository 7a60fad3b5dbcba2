"""From a line to what it holds: amounts, names, meanings, and the words that nobody read."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from assistant.parsing import numbers
from assistant.parsing.amounts import amounts_of
from assistant.parsing.asking import per_asked, units_asked
from assistant.parsing.grounds import beside_places, mark_parts, without_restated
from assistant.parsing.line import Line, Meaning
from assistant.parsing.meant import as_meant, of_grasses
from assistant.parsing.readings import lists_of
from assistant.parsing.revised import revised
from assistant.parsing.shapes import with_shapes
from assistant.parsing.sites import sites_of
from assistant.parsing.tape import Tape
from assistant.parsing.tokens import Token, tokens_of
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Name, Now

_DENIALS = {
    "not",
    "no",
    "never",
    "without",
    "isnt",
    "wasnt",
    "arent",
    "wont",
    "dont",
    "doesnt",
    "cant",
    "hasnt",
    "nothing",
}
_COUNTED_FOR = {
    "bag",
    "bags",
    "seed",
    "starter",
    "lbs",
    "lb",
    "pounds",
    "much",
    "many",
    "fert",
    "fertilizer",
    "lime",
    "oz",
}
_MAX = {"max", "maximum", "high", "hi", "tmax"}
_FULL = {"tons", "full", "overrun", "infested", "loaded", "choked", "invaded", "ton", "taken"}
_OF_WEEDS = 5  # words back from a grass
_TURNED_DOWN = {"species", "product", "ingredients"}


def read(text: str, vocabulary: Vocabulary, now: Now) -> Line:
    """Never raises: what cannot be read is in `strange`."""
    tokens = tokens_of(text)
    sites = sites_of(tokens, vocabulary)
    of_sites = {place for start, end in sites for place in range(start, end)}
    tokens, corrected = _corrected(tokens, text, vocabulary, of_sites)
    line = Line(text, tokens, [token.text for token in tokens], corrected=corrected)
    taken = _protected(tokens, line.words, vocabulary) | of_sites
    tape = Tape(tokens, vocabulary.measures, taken)
    asked = units_asked(tape, text)
    with_per = {
        place
        for name, start, end in asked
        if name.type == "asked_per" or any(token.kind == "number" for token in tokens[start:end])  # m2
        for place in range(start, end)
    }
    line.amounts = amounts_of(tokens, vocabulary.measures, now, text, taken | with_per)
    more, line.amounts = per_asked(tape, text, line.amounts, with_per)
    line.amounts = lists_of(revised(without_restated(line), line.words), line.words)
    asked += more
    _name_things(
        line, vocabulary, of_sites | with_per | {place for _, start, end in more for place in range(start, end)}
    )
    for start, end in sites:
        span = (tokens[start].start, tokens[end - 1].end)
        line.names.append((Name(f"site.{text[slice(*span)]}", text[slice(*span)], span), start, end))
    beside_places(line)
    with_shapes(line)
    of_grasses(line)
    mark_parts(line)
    line.names += asked
    line.starts = [place for place in range(len(tokens)) if vocabulary.begins.at(tokens, place, line.words)]
    as_meant(line, now)
    for reading in line.amounts:
        # a date such as `today`, or what `42 paces` counts, means something to the cues as well
        if reading.amount.of:  # so does what the pounds are pounds of
            for word in line.words[reading.start : reading.end]:
                for words, meaning in vocabulary.meanings.table.get(word, ()):
                    if words == [word]:
                        line.terms.update(term for term in meaning if term.startswith("~"))
        first = reading.end - 1 if reading.amount.kind == "count" else reading.start
        phrase = line.words[first : reading.end]
        for words, meaning in vocabulary.meanings.table.get(line.words[first], ()):
            if words == phrase:
                line.terms.update(term for term in meaning if term.startswith("~"))
    return line


def _protected(tokens: list[Token], words: list[str], vocabulary: Vocabulary) -> set[int]:
    """Names with figures in them (2,4-D, feed 3, 1st feed) come before anything numeric."""
    taken: set[int] = set()
    for i in range(len(tokens)):
        if i in taken:
            continue
        found = vocabulary.meanings.at(tokens, i, words)
        if found and any(not term.startswith("~") for term in found[0]):
            worded = found[1] - i > 1 and tokens[i].text in numbers.WORDS  # half rate
            end = found[1]
            if end < len(tokens) and tokens[end - 1].kind == "number" and vocabulary.measures.at(tokens, end, words):
                continue  # `i feed 4 lb` is no fourth feed
            glued = found[1] < len(tokens) and tokens[found[1] - 1].kind == "number" and not tokens[found[1]].spaced
            if worded or (not glued and any(token.kind == "number" for token in tokens[i : found[1]])):
                taken.update(range(i, found[1]))
    return taken


def _corrected(
    tokens: list[Token], text: str, vocabulary: Vocabulary, left_alone: set[int]
) -> tuple[list[Token], list[tuple[str, str]]]:
    """Typing errors mended, word by word, and what was mended. A name in the middle of a sentence is left alone."""
    made, told = [], []
    written_with = -1  # the figure that is part of the word before it: b4, et0
    for place, token in enumerate(tokens):
        if place == written_with:
            continue
        if place in left_alone:
            made.append(token)
            continue
        word = vocabulary.spelled.get(token.text, token.text)
        glued = place + 1 < len(tokens) and tokens[place + 1].kind == "number" and not tokens[place + 1].spaced
        if word == "w" and glued:
            word = "wind"  # 58F w12
        word = _meant_before_a_figure(tokens, place) or word
        whole = vocabulary.spelled.get(token.text + tokens[place + 1].text) if glued else None
        if whole:
            written_with = place + 1
            made.append(replace(token, text=whole, end=tokens[written_with].end))
            continue
        if word != token.text:
            token = replace(token, text=word, kind="word")
        elif token.kind == "word" and not (
            place and text[token.start].isupper() and not text[token.start : token.end].isupper()
        ):
            word = vocabulary.corrected(token.text)
        if word != token.text:
            told.append((text[token.start : token.end], word))
            token = replace(token, text=word)
        made.append(token)
    return made, told


def _meant_before_a_figure(tokens: list[Token], place: int) -> str:
    """What a short word means for the figure behind it: the 4 of `bags 4 12k` is `for`, the min of `max 75 min 55` no minute."""
    short = tokens[place].text
    if short not in ("4", "min") or not 0 < place < len(tokens) - 1 or tokens[place + 1].kind != "number":
        return ""
    if short == "4":
        apart = tokens[place].spaced and tokens[place + 1].spaced
        return "for" if apart and tokens[place - 1].text in _COUNTED_FOR else ""
    return "minimum" if any(token.text in _MAX for token in tokens[max(0, place - 3) : place]) else ""


def _name_things(line: Line, vocabulary: Vocabulary, taken: set[int]) -> None:
    in_amount = {place for reading in (*line.amounts, *line.rivals) for place in reading.held} | taken
    i = 0
    while i < len(line.tokens):
        if i in in_amount:
            i += 1
            continue
        found = vocabulary.meanings.at(line.tokens, i, line.words, in_amount)
        if found:
            meaning, end = found
            span = (line.tokens[i].start, line.tokens[end - 1].end)
            lone = end - i == 1 and len(line.words[i]) == 1 and not _meant_as_symbol(line, i)
            for term in () if lone else meaning:
                if not term.startswith("~") and term.partition(".")[0] in _TURNED_DOWN and _turned_down(line.words, i):
                    continue  # `instead of tall fescue`, `no starter`
                if term.startswith("species.") and _as_a_weed(line.words, i):
                    continue
                if not term.startswith("~"):
                    if term in vocabulary.negated and _denied(line, i):
                        term = vocabulary.negated[term]
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


def _turned_down(words: list[str], i: int) -> bool:
    return words[i - 1 : i] in (["no"], ["without"]) or words[max(0, i - 2) : i] in (
        ["instead", "of"],
        ["don't", "want"],
        ["dont", "want"],
        ["rather", "than"],
    )


def _as_a_weed(words: list[str], i: int) -> bool:
    """True for a grass that a lawn is full of and nobody sowed: `tons of crabgrass and bermuda in it`."""
    before = words[max(0, i - _OF_WEEDS) : i]
    return any(one in _FULL and following in ("of", "with", "by") for one, following in pairwise(before))


def _denied(line: Line, i: int) -> bool:
    """True where a `not` stands before the phrase at i, with at most three words between and no comma."""
    for word in reversed(line.words[max(0, i - 4) : i]):
        if word in (",", ";", ".", "but") or (
            word in ("wind", "breeze", "sun") and line.words[max(0, i - 2) : i] != ["no", word]
        ):
            return False
        if word in _DENIALS or word.endswith("n't"):
            return True
    return False


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
