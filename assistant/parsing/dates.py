"""Dates as people say them, against the day it is. What the calendar does not hold is kept as an impossible date."""

from __future__ import annotations

from datetime import date, timedelta

from assistant.parsing import numbers
from assistant.parsing.numbers import number_at
from assistant.parsing.tokens import Token
from assistant.terms import Amount, Now

_MONTH_NAMES = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
_MONTHS = {name: n for n, name in enumerate(_MONTH_NAMES, 1)}
_MONTHS |= {name[:3]: n for n, name in enumerate(_MONTH_NAMES, 1)} | {"sept": 9}
MONTHS = frozenset(_MONTHS)
_DAY_NAMES = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
DAYS = {name: n for n, name in enumerate(_DAY_NAMES)}
DAYS |= {"mon": 0, "tue": 1, "tues": 1, "weds": 2, "thu": 3, "thur": 3, "thurs": 3, "fri": 4, "sat": 5}
_NEAR = {
    "today": 0,
    "tonight": 0,
    "tomorrow": 1,
    "tmrw": 1,
    "tomorow": 1,
    "tommorow": 1,
    "tommorrow": 1,
    "yesterday": -1,
    "yesturday": -1,
}
_BEFORE_A_DAY = {"on", "by", "until", "till", "since", "from", "before", "to", "is", "was", "for"}
# words before a day that is intended, and words that only may look ahead: of `if i seeded on the 28th` the tense decides
_INTENDED = {
    "will",
    "ll",
    "going",
    "gonna",
    "plan",
    "planning",
    "want",
    "hope",
    "hoping",
    "aim",
    "aiming",
    "should",
    "move",
    "get",
    "getting",
}
_AHEAD = {"if", "start", "starting", "can", "could"}
# how a day without its week, month or year was taken
COMING, NEAREST, OF_ITS_NUMBER = "the coming one", "the nearest one", "the nearest of that number"
_THIS = {"morning", "afternoon", "evening"}
_ORDINALS = {
    word: n
    for n, word in enumerate(
        [
            "first",
            "second",
            "third",
            "fourth",
            "fifth",
            "sixth",
            "seventh",
            "eighth",
            "ninth",
            "tenth",
            "eleventh",
            "twelfth",
            "thirteenth",
            "fourteenth",
            "fifteenth",
            "sixteenth",
            "seventeenth",
            "eighteenth",
            "nineteenth",
            "twentieth",
        ],
        1,
    )
}
_ORDINALS |= {"thirtieth": 30}
_TENS = {"twenty": 20, "thirty": 30}
# the nth weekday of a month, the last one where n is 0
_HOLIDAYS = {"labor": (9, 0, 1), "memorial": (5, 0, 0), "columbus": (10, 0, 2), "thanksgiving": (11, 3, 4)}
_FIXED = {"halloween": (10, 31), "christmas": (12, 25)}
_SPANS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7}


# every word that can stand in a date: none of them is a typing error
WORDS = frozenset({*_MONTHS, *DAYS, *_NEAR, *_THIS, *_SPANS, *_ORDINALS, *_HOLIDAYS, *_FIXED})
_WEIGHED = {"lb", "lbs", "pound", "pounds", "#", "oz", "ounces", "gal", "gallons", "kg"}
_NOT_SINCE = {"hasnt", "havent", "hadnt", "no", "nothing", "never", "without"}
_REACH_OF_NOT = 4  # words from it to the span of time
BEGINNINGS = WORDS | numbers.BEGINNINGS | {"day", "this", "last", "next", "coming", "past", "the", "in", "an", *_TENS}


def date_at(tokens: list[Token], i: int, now: Now) -> tuple[Amount, int] | None:
    """The date that begins at token i as an Amount, and the place behind it."""
    if tokens[i].kind == "word" and tokens[i].text not in BEGINNINGS:
        return None
    for rule in (_near, _named_month, _of_month, _slashed, _weekday, _holiday, _counted):
        found = rule(tokens, i, now.day)
        if found:
            return found
    return None


def _text(tokens: list[Token], i: int) -> str:
    return tokens[i].text if i < len(tokens) else ""


def _made(day: date | str, assumed: str = "") -> Amount:
    text = day if isinstance(day, str) else day.isoformat()
    return Amount("date", text, text, assumed=assumed)


def _near(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    word = _text(tokens, i)
    if (
        word == "day"
        and _text(tokens, i + 1) in ("after", "before")
        and _text(tokens, i + 2) in ("tomorrow", "yesterday")
    ):
        step = 2 if tokens[i + 1].text == "after" else -2
        return _made(today + timedelta(days=step)), i + 3
    if word in _NEAR:
        j = i + 2 if word in ("tomorrow", "yesterday") and _text(tokens, i + 1) in _THIS else i + 1
        return _made(today + timedelta(days=_NEAR[word])), j
    if word == "this" and _text(tokens, i + 1) in _THIS:
        return _made(today), i + 2
    if word == "last" and _text(tokens, i + 1) == "night":
        return _made(today - timedelta(days=1)), i + 2
    return None


def _day_number(tokens: list[Token], i: int) -> tuple[int, int] | None:
    if i < len(tokens) and tokens[i].kind == "number" and tokens[i].text.isdigit() and len(tokens[i].text) <= 2:
        j = i + 2 if _text(tokens, i + 1) in ("st", "nd", "rd", "th") and not tokens[i + 1].spaced else i + 1
        return int(tokens[i].text), j
    tens = _TENS.get(_text(tokens, i), 0)
    ordinal = _ORDINALS.get(_text(tokens, i + 1 if tens else i), 0)
    if ordinal and (not tens or ordinal < 10):
        return tens + ordinal, i + (2 if tens else 1)
    return None


def _year(tokens: list[Token], i: int) -> tuple[int, int] | None:
    j = i + 1 if _text(tokens, i) == "," else i
    if (
        j < len(tokens)
        and tokens[j].kind == "number"
        and tokens[j].text.isdigit()
        and len(tokens[j].text) == 4
        and tokens[j].text[:2] in ("19", "20")
    ):
        return int(tokens[j].text), j + 1
    return None


def _named_month(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    month, j = _MONTHS.get(_text(tokens, i)), i + 1
    if month:
        while _text(tokens, j) in (".", "um", "uh"):
            j += 1
        day = _day_number(tokens, j + 1 if _text(tokens, j) == "the" else j)
        if not day:
            return None
        number, j = day
        if tokens[j - 1].kind == "number" and _text(tokens, j) in _WEIGHED:
            return None  # `April 3 lb of 32-0-8`
    else:
        day = _day_number(tokens, i)
        if not day:
            return None
        if tokens[i].kind == "word" and _text(tokens, day[1]) != "of":
            return None  # the first of september, not `first may i`
        number, j = day
        if _text(tokens, j) == "of":
            j += 1
        month = _MONTHS.get(_text(tokens, j))
        if not month or (
            _text(tokens, j) == "may" and not (j > i + 1 and tokens[j - 1].text in ("of", "st", "nd", "rd", "th"))
        ):
            return None
        j += 1
        if _text(tokens, j) == "." and len(tokens[j - 1].text) <= 4:
            j += 1
    year = _year(tokens, j)
    if year:
        return _on(year[0], month, number, today), year[1]
    return _on(None, month, number, today), j


def _of_month(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    """`on the 12th`: the nearest day of that number; the coming one where the words before it look ahead."""
    if _text(tokens, i) != "the":
        return None
    day = _day_number(tokens, i + 1)
    if not day or not _is_day_of_month(tokens, i, day[1]):
        return None
    near = [today.replace(day=15) + timedelta(days=30 * step) for step in (-1, 0, 1, 2)]
    choices = []
    for month in near:
        try:
            choices.append(month.replace(day=day[0]))
        except ValueError:
            continue
    if not choices:
        return _made(f"{today.year}-{today.month:02d}-{day[0]:02d}", "no such day"), day[1]
    intended = _intended(tokens[:i])
    if intended or any(token.text in _AHEAD for token in tokens[:i]):
        coming = next((one for one in choices if one >= today), choices[-1])
        return _made(coming, "" if intended else OF_ITS_NUMBER), day[1]
    return _made(min(choices, key=lambda one: abs((one - today).days)), OF_ITS_NUMBER), day[1]


def _intended(before: list[Token]) -> bool:
    """True where the words before a day plan for it, so that no past tense turns it back: `going to ...`, `by friday`."""
    return any(token.text in _INTENDED for token in before) or any(token.text == "by" for token in before[-1:])


def _is_day_of_month(tokens: list[Token], i: int, end: int) -> bool:
    """`on the 12th`, `the 26th`; a word (`the second`) only behind one that wants a day, and with nothing that it counts."""
    if _text(tokens, end) in ("of", "acre", *_MONTHS):
        return False
    behind = i > 0 and tokens[i - 1].text in _BEFORE_A_DAY
    if tokens[i + 1].kind == "number":
        return end == i + 3 and (behind or not (end < len(tokens) and tokens[end].kind == "word" and i == 0))
    return behind and (end >= len(tokens) or tokens[end].kind == "mark" or end == i + 3)


def _slashed(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    """10/3 and 10/3/26, where the calendar allows it; also the standard 2026-10-03."""
    marks = [_text(tokens, i + n) for n in range(5)]
    close = all(not token.spaced for token in tokens[i + 1 : i + 5])
    if marks[1] == marks[3] == "-" and close and len(marks[0]) == 4 and all(part.isdigit() for part in marks[0:5:2]):
        return _on(int(marks[0]), int(marks[2]), int(marks[4]), today), i + 5
    if marks[1] != "/" or not (marks[0].isdigit() and marks[2].isdigit()) or len(marks[0]) > 2 or len(marks[2]) > 2:
        return None
    if any(token.spaced for token in tokens[i + 1 : i + 3]):
        return None
    month, day = int(marks[0]), int(marks[2])
    if not 1 <= month <= 12 or not 1 <= day <= 31:
        return None
    if marks[3] == "/" and marks[4].isdigit() and len(marks[4]) in (2, 4):
        year = int(marks[4]) + (2000 if len(marks[4]) == 2 else 0)
        return _on(year, month, day, today), i + 5
    return _on(None, month, day, today), i + 3


def _on(year: int | None, month: int, day: int, today: date) -> Amount:
    """A calendar day; without a year, the one nearest to today."""
    if year is None:
        choices = []
        for near in (today.year - 1, today.year, today.year + 1):
            try:
                choices.append(date(near, month, day))
            except ValueError:
                continue
        if not choices:
            return _made(f"{today.year}-{month:02d}-{day:02d}", "no such day")
        best = min(choices, key=lambda choice: abs((choice - today).days))
        return _made(best, NEAREST)
    try:
        return _made(date(year, month, day))
    except (ValueError, OverflowError):
        return _made(f"{year}-{month:02d}-{day:02d}", "no such day")


def _weekday(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    word, j = _text(tokens, i), i
    turn = ""
    if word in ("next", "last", "this", "coming", "past"):
        turn, j = word, i + 1
    if turn in ("next", "last") and _text(tokens, j) == "week" and _text(tokens, j + 1) not in DAYS:
        return _made(today + timedelta(days=7 if turn == "next" else -7), "a week from today"), j + 1
    if turn in ("this", "next") and _text(tokens, j) == "weekend":
        ahead = (5 - today.weekday()) % 7
        return _made(today + timedelta(days=ahead), "the Saturday"), j + 1
    target = DAYS.get(_text(tokens, j))
    if target is None:
        return None
    ahead = (target - today.weekday()) % 7
    if turn in ("last", "past"):
        ahead = ahead - 7
    elif turn == "next" and ahead == 0:
        ahead = 7
    day = today + timedelta(days=ahead)
    j += 1
    if _text(tokens, j) == "." and len(tokens[j - 1].text) <= 5:
        j += 1
    numbered = _named_month(tokens, j, today) or (_of_month(tokens, j, today) if _text(tokens, j) == "the" else None)
    if numbered:
        return numbered  # Friday the 18th, Sat. Sept. 19th
    return _made(day, "" if turn or _intended(tokens[:i]) else COMING), j


def _holiday(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    """Labor Day, Thanksgiving, Halloween: the one nearest to today."""
    word = _text(tokens, i)
    if word in _FIXED:
        return _on(None, *_FIXED[word], today), i + 1
    rule = _HOLIDAYS.get(word)
    if not rule or (word != "thanksgiving" and _text(tokens, i + 1) != "day"):
        return None
    days = [_nth(year, *rule) for year in (today.year - 1, today.year, today.year + 1)]
    return _made(min(days, key=lambda one: abs((one - today).days)), NEAREST), i + (1 if word == "thanksgiving" else 2)


def _nth(year: int, month: int, weekday: int, nth: int) -> date:
    first = date(year, month, 1)
    days = [first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * week) for week in range(5)]
    inside = [day for day in days if day.month == month]
    return inside[nth - 1]


def _not_since(tokens: list[Token], i: int) -> bool:
    """True before the `in` of `hasn't rained in 3 weeks`, `no rain in two weeks`: that long ago, and no day to come."""
    for token in reversed(tokens[max(0, i - _REACH_OF_NOT) : i]):
        if token.kind == "mark":
            return False
        if token.text.replace("'", "") in _NOT_SINCE:
            return True
    return False


def _counted(tokens: list[Token], i: int, today: date) -> tuple[Amount, int] | None:
    """in 2 weeks, 3 days ago, a week from now."""
    word = _text(tokens, i)
    ahead = word == "in"
    start = i + 1 if ahead else i
    if _text(tokens, start) in ("a", "an", "one") and _text(tokens, start + 1) in _SPANS:
        count: tuple[float, int] | None = (1.0, start + 1)
    else:
        count = number_at(tokens, start)
    if not count or _text(tokens, count[1]) not in _SPANS or count[0] > 3700:
        return None
    days, j = round(count[0] * _SPANS[tokens[count[1]].text]), count[1] + 1
    if ahead:
        if _text(tokens, j) in ("of",) or _not_since(tokens, i):
            return None
        return _made(today + timedelta(days=days)), j
    if _text(tokens, j) == "ago" or (_text(tokens, j) == "back" and _text(tokens, j + 1) in ("", ".", ",", "?", "now")):
        return _made(today - timedelta(days=days)), j + 1
    if _text(tokens, j) == "from" and _text(tokens, j + 1) in ("now", "today"):
        return _made(today + timedelta(days=days)), j + 2
    if i > 1 and tokens[i - 1].text in ("down", "in") and tokens[i - 2].text == "been":  # it has been down 10 days
        return _made(today - timedelta(days=days)), j
    return None
