"""Numbers: figures, mixed numbers, fractions, and words up to hundreds."""

from __future__ import annotations

from assistant.parsing.tokens import Token

_ONES = {word: n for n, word in enumerate(
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"])}  # fmt: skip
_TENS = {
    word: 10 * n
    for n, word in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
}
_TENS["fourty"] = 40
_SCALES = {"hundred": 100, "thousand": 1000, "grand": 1000, "million": 1_000_000}
_SHARES = {
    "half": 0.5,
    "halves": 0.5,
    "quarter": 0.25,
    "quarters": 0.25,
    "third": 1 / 3,
    "thirds": 1 / 3,
    "eighth": 0.125,
    "eighths": 0.125,
    "tenth": 0.1,
    "tenths": 0.1,
}
_ONE_OF_THEM = {
    "that",
    "this",
    "last",
    "the",
    "which",
    "next",
    "first",
    "second",
    "third",
    "bigger",
    "other",
    "no",
    "any",
}
_COUNTS = {"couple": 2.0, "dozen": 12.0, "pair": 2.0}


# every word that can stand in a number: none of them is a typing error
WORDS = frozenset({*_ONES, *_TENS, *_SCALES, *_SHARES, *_COUNTS})
SPELLED = frozenset({*_ONES, *_TENS})
BEGINNINGS = WORDS | {"a", "point"}  # `a half`, `point five`


def number_at(tokens: list[Token], i: int) -> tuple[float, int] | None:
    """The number that begins at token i, and the place behind it; None where none does."""
    if i >= len(tokens):
        return None
    token = tokens[i]
    if token.kind == "number":
        return _figures_at(tokens, i)
    if token.text in BEGINNINGS:
        return _words_at(tokens, i)
    return None


def _is(tokens: list[Token], i: int, *texts: str) -> bool:
    return i < len(tokens) and tokens[i].text in texts


def _number(tokens: list[Token], i: int) -> bool:
    return i < len(tokens) and tokens[i].kind == "number"


def _fraction_at(tokens: list[Token], i: int) -> float | None:
    """1/2, written close together, below one or an improper measure such as 3/2."""
    if _number(tokens, i) and _is(tokens, i + 1, "/") and _number(tokens, i + 2):
        top, bottom = tokens[i], tokens[i + 2]
        if tokens[i + 1].spaced or bottom.spaced or "." in top.text + bottom.text:
            return None
        if bottom.value in (2, 3, 4, 5, 8, 10, 16, 32, 128) and top.value > 0:
            return top.value / bottom.value
    return None


def _figures_at(tokens: list[Token], i: int) -> tuple[float, int]:
    whole = tokens[i].value
    fraction = _fraction_at(tokens, i)
    if fraction is not None:
        return fraction, i + 3
    if "." not in tokens[i].text:
        hyphen = _is(tokens, i + 1, "-") and not tokens[i + 1].spaced
        behind = i + 2 if hyphen or _is(tokens, i + 1, "and") else i + 1
        part = _fraction_at(tokens, behind)
        if part is not None and part < 1 and (hyphen or tokens[behind].spaced):
            return whole + part, behind + 3
        if _is(tokens, i + 1, "and") and _is(tokens, i + 2, "a") and _is(tokens, i + 3, *_SHARES):
            return whole + _SHARES[tokens[i + 3].text], i + 4
        if _is(tokens, i + 1, "and") and _is(tokens, i + 2, "half"):
            return whole + _SHARES["half"], i + 3
    if whole == 128 and _is(tokens, i + 1, "th") and not tokens[i + 1].spaced:
        return 1 / whole, i + 2  # the 128th acre
    if _is(tokens, i + 1, "dozen"):
        return whole * 12, i + 2
    if _is(tokens, i + 1, *_SCALES) and not _is(tokens, i + 2, "percent"):
        return whole * _SCALES[tokens[i + 1].text], i + 2
    return whole, i + 1


def _words_at(tokens: list[Token], i: int) -> tuple[float, int] | None:
    word = tokens[i].text
    if word == "point" and i + 1 < len(tokens) and tokens[i + 1].text in _ONES:
        return _behind_point(tokens, i + 1, 0.0)
    if word == "quarter" and i and tokens[i - 1].text in ("lowest", "low", "driest"):
        return None  # the low quarter of the cans
    if word == "half" and {token.text for token in tokens[i + 1 : i + 3]} & {"circle", "round"}:
        return None  # a shape
    if word in _SHARES and word != "third":  # "the third feed" is no fraction
        j = i + 1
        if word == "quarter" and _is(tokens, j, "of"):
            j += 1
        return _SHARES[word], j
    if word in _COUNTS:
        j = i + 1
        return _COUNTS[word], j + 1 if _is(tokens, j, "of") else j
    if (
        word == "a"
        and i + 1 < len(tokens)
        and tokens[i + 1].text in {"half", "quarter", "third", "tenth", "eighth", *_COUNTS, "hundred", "thousand"}
    ):
        inner = tokens[i + 1].text
        if inner in _SCALES:
            return _spelled_at(tokens, i + 1, counted=True)
        j = i + 2
        value = _SHARES.get(inner) or _COUNTS[inner]
        return value, j + 1 if inner in _COUNTS and _is(tokens, j, "of") else j
    if word == "one" and i and tokens[i - 1].text in _ONE_OF_THEM:
        return None
    if word in ("one", "a") and _number(tokens, i + 1) and _is(tokens, i + 2, "th") and not tokens[i + 2].spaced:
        return 1 / tokens[i + 1].value, i + 3  # one 128th of an acre
    return _spelled_at(tokens, i)


def _spelled_at(tokens: list[Token], i: int, counted: bool = False) -> tuple[float, int] | None:
    """A number in words from token i on: `fifty five hundred`, `two point two five`; `counted` where an `a` stands before."""
    total, group, j, seen = 0.0, 0.0, i, counted
    ones = False  # a figure of ones ends a group: `two four` are two numbers
    while j < len(tokens) and tokens[j].kind == "word":
        word = tokens[j].text
        if word in _ONES or word in _TENS:
            if ones or (word in _TENS and group % 100) or (group and _ONES.get(word) == 0):
                break
            group += _ONES[word] if word in _ONES else _TENS[word]
            ones = word in _ONES
        elif word in _SCALES and seen:
            if word == "hundred":
                group = max(group, 1) * 100
            else:
                total, group = total + max(group, 1) * _SCALES[word], 0
            ones = False
        elif (
            word == "and"
            and seen
            and j + 1 < len(tokens)
            and (tokens[j + 1].text in _ONES or tokens[j + 1].text in _TENS)
            and tokens[j - 1].text in _SCALES
        ):
            pass
        else:
            break
        seen = True
        j += 1
        if _is(tokens, j, "-") and j + 1 < len(tokens) and tokens[j - 1].text in _TENS and tokens[j + 1].text in _ONES:
            j += 1
    if not seen:
        return None
    value = total + group
    if _is(tokens, j, "and") and _is(tokens, j + 1, "a") and _is(tokens, j + 2, *_SHARES):
        value, j = value + _SHARES[tokens[j + 2].text], j + 3
        return (value * 1000, j + 1) if _is(tokens, j, "thousand") else (value, j)  # twelve and a half thousand
    if _is(tokens, j, "and") and _is(tokens, j + 1, *_ONES) and _is(tokens, j + 2, *_SHARES, "quarters", "thirds"):
        part = _ONES[tokens[j + 1].text] * _SHARES[tokens[j + 2].text.rstrip("s")]
        if part < 1:  # one and three quarter acres
            return value + part, j + 3
    if _is(tokens, j, "point") and j + 1 < len(tokens) and tokens[j + 1].text in _ONES:
        return _behind_point(tokens, j + 1, value)
    if _is(tokens, j, *_SHARES) and not _is(tokens, j, "third") and value <= 10:
        return value * _SHARES[tokens[j].text], j + 1
    return value, j


def _behind_point(tokens: list[Token], j: int, whole: float) -> tuple[float, int]:
    """The figures behind a spoken point: `point one five`."""
    figures = ""
    while j < len(tokens) and tokens[j].text in _ONES and _ONES[tokens[j].text] < 10:
        figures += str(_ONES[tokens[j].text])
        j += 1
    value = whole + float(f"0.{figures or 0}")
    if _is(tokens, j, *_SCALES):  # four point two thousand
        return round(value * _SCALES[tokens[j].text], 6), j + 1
    return value, j
