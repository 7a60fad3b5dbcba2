"""From a line to what it holds: amounts, names, meanings, and the words that nobody read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from assistant.parsing import dates, numbers
from assistant.parsing.amounts import amounts_of
from assistant.parsing.asking import per_asked, units_asked
from assistant.parsing.readings import Reading, lists_of
from assistant.parsing.revised import area_of, revised
from assistant.parsing.shapes import with_shapes
from assistant.parsing.tape import Tape
from assistant.parsing.tokens import Token, tokens_of
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import FAHRENHEIT, HOT_IN_CELSIUS, Amount, Name, Now

_JOINS = {"plus", "and", ",", "+", "&", "also", "with", "or"}
_TAKES_OFF = {"minus", "less", "except", "without", "excluding", "subtract", "but", "deduct", "-"}
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
_PAST = {"~seeded", "~did", "~gone_by", "~late", "~early", "~skipped"}
_TO_COME = {"~seeding", "~may_i", "~when", "~what_if", "~ahead", "~moved"}
_SOON = 60  # days ahead within which a day of the year is meant as it stands, whatever the tense
_GRASS = "surface.ground"
AS_ANOTHER = "as "  # how a figure was read that has its unit from another one
_OPEN_SIZED = {"area", "size"}
_LOT = 500  # square feet of a lot at the least
_FOOTAGE = 100  # feet of a drive that are square feet sooner than a length


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


def read(text: str, vocabulary: Vocabulary, now: Now) -> Line:
    """Never raises: what cannot be read is in `strange`."""
    tokens = tokens_of(text)
    sites = _sites(tokens, vocabulary)
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
    line.amounts = lists_of(revised(_without_restated(line), line.words), line.words)
    asked += more
    _name_things(
        line, vocabulary, of_sites | with_per | {place for _, start, end in more for place in range(start, end)}
    )
    for start, end in sites:
        span = (tokens[start].start, tokens[end - 1].end)
        line.names.append((Name(f"site.{text[slice(*span)]}", text[slice(*span)], span), start, end))
    _beside_places(line)
    with_shapes(line)
    _shares_of_grasses(line)
    _of_its_age(line)
    _mark_parts(line)
    line.names += asked
    line.starts = [place for place in range(len(tokens)) if vocabulary.begins.at(tokens, place, line.words)]
    _without_its_end(line)
    _not_there(line)
    _moved_back(line)
    _cold_nights(line)
    _past_days(line, now)
    _in_metric(line)
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


def _sites(tokens: list[Token], vocabulary: Vocabulary) -> list[tuple[int, int]]:
    """Where names of somebody's own stand, such as no word of ours is: before a colon, by a street, by a number."""
    words = [token.text for token in tokens]
    heading = _heading(tokens, words, vocabulary)
    found = [(0, heading)] if heading else []
    place = heading
    while place < len(tokens):
        meaning, known = vocabulary.meanings.at(tokens, place, words) or ((), 0)
        if any(term.startswith("lawn.") for term in meaning):
            place = known  # a lawn on record
            continue
        end = (
            _address(tokens, words, place, vocabulary)
            or _sized(tokens, words, place, vocabulary, bool(found))
            or _worked_on(tokens, words, place, vocabulary)
        )
        if end:
            found.append((place, end))
        place = max(place + 1, end)
    return found


def _heading(tokens: list[Token], words: list[str], vocabulary: Vocabulary) -> int:
    """How many tokens before a colon are a name: `Birch Hollow: 6,400 sq ft`, `Mill Lane 12: 4k`. 0 where they are words
    that a question is made of (`quick question: 4k`), or name a lawn on record."""
    end = next((n for n in range(1, min(len(tokens) - 1, _LONGEST_HEADING)) if words[n] == ":"), 0)
    if not end or any(token.kind == "mark" for token in tokens[:end]):
        return 0
    if any(term.startswith("lawn.") for term in (vocabulary.meanings.at(tokens, 0, words) or ((), 0))[0]):
        return 0
    told = [n for n in range(end) if tokens[n].kind == "word"]
    street = any(words[n] in vocabulary.streets for n in told[1:])
    own = street
    for n in told:
        meaning, _ = vocabulary.meanings.at(tokens, n, words) or ((), 0)
        if any(term.startswith("lawn.") or (term.startswith("~") and not street) for term in meaning):
            return 0
        plain = meaning or words[n] in vocabulary.small or vocabulary.measures.at(tokens, n, words)
        alone = len(told) == 1 and words[n] in vocabulary.ordinary and words[n] not in vocabulary.street_names
        own = own or not (plain or alone or words[n] in vocabulary.spelled or len(words[n]) < _SHORTEST_NAME)
    return end if own else 0


def _address(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where an address ends that begins here, else 0: `Elm 12`, `Mill Lane 4`, `1408 W Maple Ave`; the number of `oak 4 lb`
    is none, nor that of `elm 12 aug`."""
    if tokens[place].kind == "number":
        return _numbered(tokens, words, place, vocabulary)
    end = place + 1
    street = end < len(words) and words[end] in vocabulary.streets and words[place] not in vocabulary.small
    if tokens[place].kind != "word" or not (street or words[place] in vocabulary.street_names):
        return 0
    if vocabulary.meanings.at(tokens, place, words) or vocabulary.measures.at(tokens, place, words):
        return 0
    end += street
    if (
        end < len(tokens)
        and tokens[end].kind == "number"
        and words[end].isdigit()
        and len(words[end]) <= _LONGEST_NUMBER
    ):
        behind, next_one = words[end + 1 : end + 2], words[end + 2 : end + 3]
        month = behind and behind[0] in dates.MONTHS and not (next_one and next_one[0].isdigit())
        measured = behind and (behind[0] in _OF_A_FIGURE or vocabulary.measures.at(tokens, end + 1, words))
        if not (month or measured):
            return end + 1
    return end if street else 0


def _sized(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary, among: bool) -> int:
    """Where a name ends that begins here and has its size right behind it, or that of a part of it: `fern 5.2k tttf`, `add
    birch 4.5k and cedar 12k`, `smith front 4.2k back 6k`; 0 where it is a word that is known, and no other such name stands before it (`among`)."""
    before = words[place - 1] if place else ""
    part = words[place + 1 : place + 2] and vocabulary.meanings.at(tokens, place + 1, words)
    size = place + 2 if part and any(term.startswith("place.") for term in part[0]) else place + 1
    if tokens[place].kind != "word" or (before and before not in _BEFORE_A_NAME) or size + 1 >= len(words):
        return 0
    word = words[place]
    if tokens[size].kind != "number" or len(word) < _SHORTEST_NAME or word in vocabulary.spelled:
        return 0
    if word.endswith(_OF_VERBS) or word in _BOUNDS:
        return 0  # `renovated 5k`, `under 5k`
    thousands = words[size + 1] == "k" and not tokens[size + 1].spaced and words[size + 2 : size + 3] != ["/"]
    measured = vocabulary.measures.at(tokens, size + 1, words)
    area = measured and any(reading[0] == "area" for reading in measured[0])
    own = word in vocabulary.street_names or (not vocabulary.knows(word) and vocabulary.corrected(word) == word)
    own = own or (among and word not in vocabulary.small)
    plain = vocabulary.meanings.at(tokens, place, words) or vocabulary.measures.at(tokens, place, words)
    return place + 1 if own and not plain and (thousands or area) else 0


def _worked_on(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where a name ends that is said of work done there, else 0: `seeded jones today`, `mowed smith's on friday`; a word that
    is no word of ours, nor one mistyped. What was sprayed or put down so may be a product, and is none."""
    if not place or words[place - 1] not in _WORKED or tokens[place].kind != "word":
        return 0
    word = words[place].removesuffix("'s")
    own = len(word) >= _SHORTEST_NAME and not vocabulary.knows(word) and vocabulary.corrected(word) == word
    behind = words[place + 1 : place + 2]
    ends = not behind or behind[0] in _BEHIND_A_NAME or tokens[place + 1].kind == "number"
    plain = word in vocabulary.ordinary and word not in vocabulary.street_names
    return place + 1 if own and ends and not plain else 0


def _numbered(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where an address ends that begins with its number, else 0: `14 Oak St`, `22 oak`; `40 ft circle` is none, nor `12 oak
    trees`, nor `3 way`."""
    if (
        not words[place].isdigit()
        or len(words[place]) > _LONGEST_NUMBER
        or (place and words[place - 1] in _JOINS_FIGURES)
    ):
        return 0
    first = place + 1 + (words[place + 1 : place + 2] != [] and words[place + 1] in _DIRECTIONS)
    for end in range(first, min(first + _LONGEST_STREET, len(words))):
        if tokens[end].kind != "word":
            return 0
        if end > first and words[end] in vocabulary.streets:
            return end + 1
        if words[end] in vocabulary.small or vocabulary.measures.at(tokens, end, words):
            return 0
        if vocabulary.meanings.at(tokens, end, words) and words[end] not in vocabulary.street_names:
            return 0
    named = words[first : first + 1] and words[first] in vocabulary.street_names
    return first + 1 if named and words[first + 1 : first + 2] not in (["tree"], ["trees"]) else 0


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
    texts = [token.text for token in tokens[max(0, place - 3) : place + 2]]
    if len(tokens) < place + 2 or tokens[place + 1].kind != "number" or not place:
        return ""
    before = tokens[place - 1].text
    if tokens[place].text == "4" and tokens[place].spaced and tokens[place + 1].spaced and before in _COUNTED_FOR:
        return "for"
    return "minimum" if tokens[place].text == "min" and _MAX.intersection(texts) else ""


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


_UNTIL = {"til", "till", "until"}
_LONGEST_HEADING = 6  # tokens before its colon
_LONGEST_NUMBER = 5  # digits of a house
_LONGEST_STREET = 4  # words of a street
_DIRECTIONS = {"n", "s", "e", "w", "ne", "nw", "se", "sw", "north", "south", "east", "west"}
_JOINS_FIGURES = {"x", "by", "/", "-", "$", "@", "at", "."}
_OF_A_FIGURE = {"x", "by", "k", "m", "/", "%", "to", "-", "*", "°"}
_BEFORE_A_NAME = {
    "add",
    "and",
    ",",
    ";",
    "&",
    "lawn",
    "lawns",
    "new",
    "called",
    "named",
}  # a name of a lawn may stand behind
_WORKED = {
    "seeded",
    "overseeded",
    "reseeded",
    "sowed",
    "mowed",
    "cut",
    "aerated",
    "dethatched",
    "tilled",
    "watered",
    "limed",
}
_BEHIND_A_NAME = {
    ",",
    ".",
    ";",
    ":",
    "today",
    "yesterday",
    "this",
    "last",
    "on",
    "at",
    "with",
    "and",
    "front",
    "back",
    *dates.DAYS,
}
_BOUNDS = {"under", "below", "above", "within", "beyond", "nearly", "almost", "upto"}
_OF_VERBS = ("ed", "ing", "ly")
_SHORTEST_NAME = 3  # letters: `12k:` is none
_PIECES = {"strips", "pieces", "sections", "areas", "squares", "beds", "sides"}
_LAWNS = {
    "lawns",
    "yards",
    "houses",
    "properties",
    "spots",
    "patches",
    "plots",
}  # these are counted so only with `of` or `each`
_MOST_PIECES, _MOST_LAWNS = 20, 500
_OF_PLACES = {"place", "lawn"}
_SIDES = {"side", "sides", "middle"}  # no names of lawns where they stand alone
_IS = {"is", "=", ":", "about", "at", "has"}
_TOLD_SIZE = {"is", "=", ":", "takes", "covers"}
_HUNDRED = 100.0
_YOUNG = "young.seedlings"
_GROWS = {"grass", "lawn", "it", "its", "it's", "turf", "stand", "seedlings", "seeding", "sod", "yard"}
_NEAR_GRASS = 4  # words between it and its age
_DAYS_OF = {"day": 1, "week": 7, "month": 30}
_MOST_DAYS = 120  # grass that is older is told from young grass
_GOT = {"got", "get", "gets", "getting", "dropped", "drops", "went", "goes", "going", "fell", "dipped"}
_HEAT = {"max", "min", "maximum", "minimum", "high", "low", "hi", "lo", "tmax", "tmin", "base", "mean"}
_WAS = {"was", "were"}
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
_MOVED = {"~moved", "~moved_it"}
_BACK, _ARTICLES = "place.back", {"the", "my", "our"}
_FULL = {"tons", "full", "overrun", "infested", "loaded", "choked", "invaded", "ton", "taken"}
_OF_WEEDS = 5  # words back from a grass
_TURNED_DOWN = {"species", "product", "ingredients"}


def _without_its_end(line: Line) -> None:
    """`no rain til monday`: the day belongs to the weather, and is none that is asked about."""
    weather = {end for name, _, end in line.names if name.type == "weather" and line.words[end - 1] in _UNTIL}
    line.amounts = [one for one in line.amounts if not (one.amount.kind == "date" and one.start in weather)]


def _not_there(line: Line) -> None:
    """`the back got fed, not the front`: the place that is ruled out behind the one that is meant."""
    places = sorted((one for one in line.names if one[0].type in _OF_PLACES), key=lambda one: one[1])
    for name, start, end in places[1:]:
        first = start - 2 if line.words[start - 1] in _ARTICLES else start - 1
        if first > 0 and line.words[first] == "not":
            line.names.remove((name, start, end))
            line.meanings = [one for one in line.meanings if one.start != first]
            line.terms = {term for one in line.meanings for term in one.terms}


def _cold_nights(line: Line) -> None:
    """`it got down to 36`: degrees, which need not be said."""
    for place, reading in enumerate(line.amounts):
        got, *down = line.words[max(0, reading.start - 3) : reading.start] or [""]
        if reading.amount.kind == "number" and down == ["down", "to"] and got in _GOT:
            degrees = replace(reading.amount, kind="temperature", units=("degF",), assumed=FAHRENHEIT)
            line.amounts[place] = replace(reading, amount=degrees)


def _moved_back(line: Line) -> None:
    """`push it back two days`: where something is moved the back is a lawn only with its article."""
    if not line.terms.isdisjoint(_MOVED):
        line.names = [one for one in line.names if one[0].id != _BACK or line.words[one[1] - 1] in _ARTICLES]


def _past_days(line: Line, now: Now) -> None:
    """A day without a year or week that was spoken of in the past lies in the past."""
    done = any(name.type == "deed" for name, _, _ in line.names)  # told in the past tense
    corrected = "~put_right" in line.terms and not _WAS.isdisjoint(line.words)  # no, it was friday
    down = any(line.words[one.start - 1 : one.start] == ["down"] for one in line.amounts)  # urea down tuesday
    if not (done or corrected or down or line.terms & _PAST) or line.terms & _TO_COME:
        return
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        soon = amount.kind == "date" and amount.assumed == "the nearest one" and (amount.day - now.day).days <= _SOON
        if (
            amount.kind == "date"
            and not soon
            and amount.assumed in ("the coming one", "the nearest one")
            and amount.low > now.day.isoformat()
        ):
            earlier = (
                amount.day - timedelta(days=7)
                if amount.assumed == "the coming one"
                else amount.day.replace(year=amount.day.year - 1)
            )
            line.amounts[place] = replace(
                reading,
                amount=replace(amount, low=earlier.isoformat(), high=earlier.isoformat(), assumed="the last one"),
            )


def _in_metric(line: Line) -> None:
    """`19 degrees, wind 12 km/h`: degrees without a scale are Celsius where the rest of the line is metric, and sides without
    a measure are in metres: `20 m by 35 m less a pool of 8 by 4`."""
    if not any(one.amount.is_metric for one in line.amounts):
        return
    for place, reading in enumerate(line.amounts):
        amount = reading.amount
        if amount.kind == "size" and amount.assumed == "feet":
            line.amounts[place] = replace(reading, amount=replace(amount, units=("m",), assumed="metres"))
        of_heat = not _HEAT.isdisjoint(line.words[max(0, reading.start - 1) : reading.start + 1])
        if amount.kind == "number" and of_heat and any(one.amount.units == ("degC",) for one in line.amounts):
            line.amounts[place] = replace(reading, amount=replace(amount, kind="temperature", units=("degC",)))
        if amount.kind == "temperature" and amount.assumed == FAHRENHEIT and float(amount.high) <= HOT_IN_CELSIUS:
            line.amounts[place] = replace(reading, amount=replace(amount, units=("degC",), assumed="Celsius"))


def _without_restated(line: Line) -> list[Reading]:
    """`1/128 acre (340 sq ft)`, `50 x 80 = 4,000 sq ft`: what says it again. Two that should be one and are not are
    both left out, to be asked for; of `5,000 sq ft of which 1,200 is bare` the part counts."""
    kept: list[Reading] = []
    for reading in line.amounts:
        between = line.words[kept[-1].end : reading.start] if kept else []
        sized = bool(kept) and kept[-1].amount.kind in _OPEN_SIZED and reading.amount.kind in _OPEN_SIZED
        alike = bool(kept) and (sized or kept[-1].amount.kind == reading.amount.kind)
        if alike and between[-1:] == ["("] and (len(between) == 1 or (sized and _same_area(kept[-1], reading))):
            continue
        if sized and not between and _same_area(kept[-1], reading):
            continue  # 1/128 acre 340 sq ft
        if sized and ("which" in between or "only" in between) and ("of" in between or "but" in between):
            kept[-1] = reading
            continue
        bare = bool(kept) and reading.amount.kind == "number" and reading.amount.single and reading.amount.low >= 20
        if bare and kept[-1].amount.kind in _OPEN_SIZED and "only" in between and {"but", "of"} & set(between):
            part_only = replace(reading.amount, kind="area", units=("sq_ft",), assumed="square feet")
            kept[-1] = replace(reading, amount=part_only)  # `5,000 sq ft, but only 2,000 needs seed`
            continue
        both = {kept[-1].amount.kind, reading.amount.kind} == {"area", "size"} if kept else False
        if both and between == [","] and not (_named_piece(line, kept[-1]) or _named_piece(line, reading)):
            between = ["="]  # `5,000 sq ft, 50 x 80 ft`: the same lawn twice
        if sized and (
            between[:1] in (["="], ["equals"]) or between in (["which", "is"], ["that", "is"], ["or"], ["is"])
        ):
            if not _same_area(kept[-1], reading):
                line.rivals = [kept.pop(), reading]
            continue
        part = _part_of(kept[-1], reading, between) if kept else None
        if part:
            kept[-1] = part
            continue
        kept.append(reading)
    return kept


def _same_area(first: Reading, second: Reading) -> bool:
    one, other = _square_feet(first.amount), _square_feet(second.amount)
    return abs(one - other) <= 0.02 * max(one, other)


def _named_piece(line: Line, reading: Reading) -> bool:
    return any(
        name.type in ("surface", "place")
        and name.id != _GRASS
        and (0 <= start - reading.end <= 1 or 0 <= reading.start - end <= 1)
        for name, start, end in line.names
    )


def _square_feet(amount: Amount) -> float:
    from assistant.units import Q, plain

    if amount.kind == "size":
        return plain(Q(amount.low[0], amount.unit) * Q(amount.low[1], amount.unit), "sq_ft")
    return plain(Q(amount.low, amount.unit), "sq_ft")


def _part_of(share: Reading, whole: Reading, between: list[str]) -> Reading | None:
    """`a third of my 9,000 sq ft`: that part of the area."""
    plain_share = share.amount.kind == "fraction" and share.amount.single
    if not plain_share or whole.amount.kind != "area" or not set(between) <= {"of", "the", "my", "our", "a", "about"}:
        return None
    low, high = (float(share.amount.low) * float(end) for end in (whole.amount.low, whole.amount.high))
    span = (share.amount.span[0], whole.amount.span[1])
    text = f"{share.amount.text} {whole.amount.text}"
    return Reading(replace(whole.amount, low=low, high=high, span=span, text=text), share.start, whole.end)


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


def _beside_places(line: Line) -> None:
    """`front 1.2 back 3.1 side 4.5k`: figures behind names of places are in the unit of the last of them."""
    ends = {end for name, _, end in line.names if name.type in _OF_PLACES}
    if ends:
        ends |= {place + 1 for place, word in enumerate(line.words) if word in _SIDES}
        _name_sides(line)
    behind = [
        place
        for place, reading in enumerate(line.amounts)
        if reading.start in ends or (reading.start - 1 in ends and line.words[reading.start - 1] in _IS)
    ]
    told = [place for place in behind if line.amounts[place].amount.kind == "area"]
    if not told:
        return
    last = line.amounts[told[-1]].amount
    for place in behind[behind.index(told[-1]) + 1 :]:  # `front 3.2k, back 4.8k, side 900`
        amount = line.amounts[place].amount
        if amount.kind == "number" and amount.single and amount.low >= _FOOTAGE:
            feet = replace(amount, kind="area", units=("sq_ft",), assumed=f"{AS_ANOTHER}{last.text}")
            line.amounts[place] = replace(line.amounts[place], amount=feet)
    for place in behind[: behind.index(told[-1])]:
        amount = line.amounts[place].amount
        if amount.kind == "number" and amount.single:
            times = 1000 if last.assumed.startswith("k ") and amount.low < 1000 else 1
            area = replace(amount, kind="area", low=amount.low * times, high=amount.high * times, units=last.units)
            line.amounts[place] = replace(line.amounts[place], amount=replace(area, assumed=f"{AS_ANOTHER}{last.text}"))


def _name_sides(line: Line) -> None:
    """`front 1.2 back 3.1 side 4.5k`: the side with a figure right behind it is a place as the others are."""
    for reading in line.amounts:
        place = reading.start - 1
        own = any(name.type in _OF_PLACES and start <= place < end for name, start, end in line.names)
        if place > 0 and line.words[place] == "side" and not own:
            line.names = [one for one in line.names if one[1] != place]
            span = (line.tokens[place].start, line.tokens[place].end)
            line.names.append((Name("place.side", line.text[slice(*span)], span), place, place + 1))


def _shares_of_grasses(line: Line) -> None:
    """`60 tttf 40 kbg`: bare figures before grasses, which make a hundred together, are percents."""
    grasses = {start for name, start, _ in line.names if name.type == "species"}
    found = [place for place, one in enumerate(line.amounts) if one.amount.kind == "number" and one.end in grasses]
    if len(found) < 2 or sum(float(line.amounts[place].amount.high) for place in found) != _HUNDRED:
        return
    for place in found:
        reading = line.amounts[place]
        line.amounts[place] = replace(reading, amount=replace(reading.amount, kind="percent", units=("percent",)))


def _of_its_age(line: Line) -> None:
    """`grass is 3 weeks old`: it is young grass, as if it were named so."""
    for reading in line.amounts:
        amount = reading.amount
        old = amount.kind == "duration" and line.words[reading.end : reading.end + 1] == ["old"]
        of_grass = not _GROWS.isdisjoint(line.words[max(0, reading.start - _NEAR_GRASS) : reading.start])
        if old and of_grass and float(amount.high) * _DAYS_OF.get(amount.unit, _MOST_DAYS) < _MOST_DAYS:
            line.names.append((Name(_YOUNG, amount.text, amount.span), reading.start, reading.end + 1))


def _mark_parts(line: Line) -> None:
    """Signs of areas. A minus holds on over `and` until a plus; what no grass grows on is taken off a lot unasked."""
    sign, last_end = 1, None
    spoken: list[int] = []
    _bare_lot(line)
    for place, reading in enumerate(line.amounts):
        bare = reading.amount.kind == "number" and last_end is not None and _bare_part(line, reading, last_end)
        if bare or (last_end is not None and _footage(line, reading)):
            assumed = "square feet" if bare else "feet taken as square feet"
            taken = replace(reading.amount, kind="area", units=("sq_ft",), assumed=assumed)
            reading = line.amounts[place] = replace(reading, amount=taken)
        if reading.amount.kind not in _OPEN_SIZED:
            continue
        if last_end is not None:
            between = _without_overlap(_words_between(line, last_end, reading.start))
            if any(word in _TAKES_OFF for word in between) or _phrase_takes_off(between):
                sign = -1
            elif "plus" in between or "add" in between or "+" in between:
                sign = 1
                spoken.append(place)
        last_end = reading.end
        what = _surface(line, reading)
        of = what.text.lower() if what and what.id != _GRASS and not reading.amount.of else reading.amount.of
        line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=sign, of=of))
    _take_off_what_is_no_grass(line, spoken)
    _repeat(line)


def _bare_lot(line: Line) -> None:
    """`lot 11200 house 2400 drive 900`: the figure behind the ground is square feet where what stands on it is told as well."""
    named = {end: name.id for name, _, end in line.names if name.type == "surface"}
    behind = [place for place, reading in enumerate(line.amounts) if reading.start in named]
    if len(behind) < 2 or named[line.amounts[behind[0]].start] != _GRASS:
        return
    first = line.amounts[behind[0]]
    others = [line.amounts[place].amount for place in behind[1:]]
    if (
        first.amount.kind == "number"
        and first.amount.low >= _LOT
        and all(one.kind in ("number", "area") for one in others)
    ):
        taken = replace(first.amount, kind="area", units=("sq_ft",), assumed="square feet")
        line.amounts[behind[0]] = replace(first, amount=taken)


def _without_overlap(words: list[str]) -> list[str]:
    """`the other leg, without overlapping, is 35 x 18` takes nothing off."""
    return [
        word
        for place, word in enumerate(words)
        if not (
            word in ("without", "not", "no") and words[place + 1 : place + 2] and words[place + 1].startswith("overlap")
        )
    ]


def _surface(line: Line, reading: Reading) -> Name | None:
    """What a piece is called: the name right behind it, where that is told no size of its own (`a third of an acre house is
    1800`), else the one shortly before it."""
    surfaces = [(name, start, end) for name, start, end in line.names if name.type == "surface"]
    at = [one.start for one in line.amounts]
    heads = {name for name, _, end in surfaces if end == reading.start}  # `house 2400 drive 900`: names come first
    behind = next(
        (
            name
            for name, start, end in surfaces
            if start == reading.end
            and _TOLD_SIZE.isdisjoint(line.words[end : end + 1])
            and not (heads and (end in at or name.id == _GRASS))
        ),
        None,
    )
    before = [
        name for name, _, end in surfaces if 0 <= reading.start - end <= 3 and not _amount_between(line, end, reading)
    ]
    return behind or (before[-1] if before else None)


def _amount_between(line: Line, end: int, reading: Reading) -> bool:
    return any(end <= other.start < reading.start for other in line.amounts if other.amount.kind in _OPEN_SIZED)


def _take_off_what_is_no_grass(line: Line, spoken: list[int]) -> None:
    """A house or a pool beside a lot is no lawn, whether or not a minus was said; a plus keeps it."""
    pieces = [place for place, reading in enumerate(line.amounts) if reading.amount.kind in _OPEN_SIZED]
    bare = [place for place in pieces if line.amounts[place].amount.of]
    if len(bare) == len(pieces):
        return
    for place in bare:
        if place not in spoken:
            reading = line.amounts[place]
            line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=-1))
    for place in pieces:
        if place not in bare and all(line.amounts[other].amount.sign < 0 for other in pieces):
            reading = line.amounts[place]
            line.amounts[place] = replace(reading, amount=replace(reading.amount, sign=1))


def _repeat(line: Line) -> None:
    """`two beds 5x10`, `2 flower beds 4 by 8 each`: the piece counts so many times."""
    made: list[Reading] = []
    for reading in line.amounts:
        if reading.amount.of == "piece" and reading.amount.kind == "count":
            continue  # `3 pieces: 30x40, 22x18, 15x15` only counts what follows
        before = made[-1] if made else None
        count = before.amount if before else None
        if (
            count
            and before
            and reading.amount.kind in _OPEN_SIZED
            and count.kind in ("number", "count")
            and _counts(line, before, reading)
        ):
            made.pop()
            many = int(count.low)
            made += [reading] * many if many <= _MOST_PIECES else [_so_many(reading, count)]
        else:
            made.append(reading)
    line.amounts = made


def _so_many(piece: Reading, count: Amount) -> Reading:
    """`30 lawns of 5,000 sq ft`: the area of all of them."""
    one = area_of(piece.amount) if piece.amount.kind == "size" else piece.amount
    text = f"{count.text} x {one.text}"
    return replace(piece, amount=replace(one, low=one.low * count.low, high=one.high * count.low, text=text))


def _counts(line: Line, count: Reading, piece: Reading) -> bool:
    """True for a small whole number right before the name of the piece, or before the piece itself."""
    value = count.amount.low
    named = count.end <= piece.start <= count.end + 4
    words = line.words[count.start : piece.start]
    each = "each" in words or line.words[piece.end : piece.end + 1] in (["ea"], ["each"], ["apiece"])
    of = each or bool({"of", "at", "@"} & set(words))
    surface = each or bool(piece.amount.of) or bool(_PIECES & set(words)) or (of and bool(_LAWNS & set(words)))
    return (
        named
        and surface
        and value == int(value)
        and 2 <= value <= (_MOST_LAWNS if of else _MOST_PIECES)
        and not set(words) & ({";", "."} if each else {",", ";", "."})
    )


def _words_between(line: Line, start: int, end: int) -> list[str]:
    """The words from one place to another; the hyphen of `pro-rated` takes nothing off."""
    tokens = line.tokens
    return [
        token.text
        for place, token in enumerate(tokens[start:end], start)
        if token.text != "-" or token.spaced or place + 1 >= len(tokens) or tokens[place + 1].kind != "word"
    ]


def _footage(line: Line, reading: Reading) -> bool:
    """`1400 sq ft house and 600 ft driveway`: so much ground, beside an area, though only feet are said."""
    amount = reading.amount
    named = any(name.type == "surface" and name.id != _GRASS and start == reading.end for name, start, _ in line.names)
    return named and amount.kind == "length" and amount.units == ("ft",) and amount.single and amount.low >= _FOOTAGE


def _bare_part(line: Line, reading: Reading, last_end: int) -> bool:
    """A bare number behind a minus, or named as a house or a drive: square feet to take off."""
    between = _words_between(line, last_end, reading.start)
    named = any(
        name.type == "surface" and name.id != "surface.ground" and 0 <= reading.start - end <= 2
        for name, _, end in line.names
    )
    off = any(word in _TAKES_OFF for word in between) or _phrase_takes_off(between)
    off = off and "only" not in between
    each = line.words[reading.end : reading.end + 1] in (["ea"], ["each"])  # two sides 600 ea
    return reading.amount.low >= 20 and (named or off or each)


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
