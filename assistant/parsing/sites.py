"""Names of somebody's own in a line, such as no word of ours is: addresses, customers, what stands before a colon."""

from __future__ import annotations

from assistant.parsing import dates
from assistant.parsing.tokens import Token
from assistant.parsing.vocabulary import Vocabulary

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
    "log",
    "customer",
    "client",
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
    "yest",
    "yday",
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
_LAWNS = {"lawn", "yard"}
_IS = {"is", "'s", "=", "was"}
_OF_THOUSANDS = 4  # marks of a number that is an area by itself
_PARTS_LAWNS = {",", ";", "and", "&"}
_BOUNDS = {"under", "below", "above", "within", "beyond", "nearly", "almost", "upto"}
_OF_VERBS = ("ed", "ing", "ly")
_SHORTEST_NAME = 3  # letters: `12k:` is none


def sites_of(tokens: list[Token], vocabulary: Vocabulary) -> list[tuple[int, int]]:
    """Where names of somebody's own stand, such as no word of ours is: before a colon, by a street, by a number."""
    words = [token.text for token in tokens]
    heading = _heading(tokens, words, vocabulary)
    found = [(0, heading)] if heading else []
    place = heading
    while place < len(tokens):
        meaning, known = vocabulary.meanings.at(tokens, place, words) or ((), 0)
        if any(term.startswith("lawn.") for term in meaning):
            if (
                known == place + 1
                and all(", " in term for term in meaning)
                and _is_place(tokens, words, known, vocabulary)
            ):
                found.append((place, known))  # who owns a lawn on record, and another lawn of theirs
            place = known
            continue
        end = (
            _address(tokens, words, place, vocabulary)
            or _sized(tokens, words, place, vocabulary, bool(found))
            or _worked_on(tokens, words, place, vocabulary)
            or _owner(tokens, words, place, vocabulary)
        )
        if end:
            found.append((_customer(tokens, words, place, vocabulary), end))
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
    birch 4.5k and cedar 12k`, `smith front 4.2k back 6k`; 0 where it is a word that is known, and no other such name stands
    before it (`among`)."""
    before, word = words[place - 1] if place else "", words[place]
    if tokens[place].kind != "word" or (before and before not in _BEFORE_A_NAME) or place + 1 >= len(words):
        return 0
    told = not place and words[place + 1] in _IS
    size = place + 2 if told or _is_place(tokens, words, place + 1, vocabulary) else place + 1
    if size >= len(words) or tokens[size].kind != "number":
        return 0
    if len(word) < _SHORTEST_NAME or word in vocabulary.spelled:
        return 0
    if word.endswith(_OF_VERBS) or word in _BOUNDS:
        return 0  # `renovated 5k`, `under 5k`
    behind = words[size + 1 : size + 2]
    thousands = behind == ["k"] and not tokens[size + 1].spaced and words[size + 2 : size + 3] != ["/"]
    thousands = thousands or (len(words[size]) >= _OF_THOUSANDS and (not behind or behind[0] in _PARTS_LAWNS))
    measured = vocabulary.measures.at(tokens, size + 1, words) if behind else None
    area = measured and any(reading[0] == "area" for reading in measured[0])
    own = word in vocabulary.street_names or _is_own(word, vocabulary)
    own = own or (among and word not in vocabulary.small)
    plain = vocabulary.meanings.at(tokens, place, words) or vocabulary.measures.at(tokens, place, words)
    return place + 1 if own and not plain and (thousands or area) else 0


def _worked_on(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where a name ends that is said of work done there, else 0: `seeded jones today`, `mowed smith's on friday`; a word that
    is no word of ours, nor one mistyped. What was sprayed or put down so may be a product, and is none."""
    if not place or words[place - 1] not in _WORKED or tokens[place].kind != "word":
        return 0
    word = words[place].removesuffix("'s")
    behind = words[place + 1 : place + 2]
    ends = not behind or behind[0] in _BEHIND_A_NAME or tokens[place + 1].kind == "number"
    plain = word in vocabulary.ordinary and word not in vocabulary.street_names
    return place + 1 if _is_own(word, vocabulary) and ends and not plain else 0


def _is_own(word: str, vocabulary: Vocabulary) -> bool:
    """True for a word that is none of ours, nor one of ours mistyped."""
    return len(word) >= _SHORTEST_NAME and not vocabulary.knows(word) and vocabulary.corrected(word) == word


def _is_place(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> bool:
    """True where a part of a lawn is named: `back`, `front`."""
    named = vocabulary.meanings.at(tokens, place, words) if place < len(words) else None
    return named is not None and any(term.startswith("place.") for term in named[0])


def _customer(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where an address begins, with the customer before it: `log smith 5 maple ave`."""
    before = place - 1
    if before < 0 or tokens[place].kind != "number" or tokens[before].kind != "word":
        return place
    own = _is_own(words[before], vocabulary) and words[before] not in vocabulary.ordinary
    return before if own and (not before or words[before - 1] in _BEFORE_A_NAME) else place


def _owner(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where the name of somebody ends who owns the lawn, else 0: `the miller back`, `miller's front`, `jones 9/1 seeded 8k`."""
    word = words[place].removesuffix("'s")
    behind = place + 1
    if tokens[place].kind != "word" or behind >= len(words) or not _is_own(word, vocabulary):
        return 0
    lawn = words[behind] in _LAWNS or _is_place(tokens, words, behind, vocabulary)
    if lawn and word not in vocabulary.ordinary:
        return behind
    dated = place == 0 and not word.endswith(_OF_VERBS) and "/" in words[behind + 1 : behind + 2]
    return behind if dated else 0


def _numbered(tokens: list[Token], words: list[str], place: int, vocabulary: Vocabulary) -> int:
    """Where an address ends that begins with its number, else 0: `14 Oak St`, `22 oak`; `40 ft circle` is none, nor `12 oak
    trees`, nor `3 way`."""
    before = words[place - 1] if place else ""
    if not words[place].isdigit() or len(words[place]) > _LONGEST_NUMBER or before in _JOINS_FIGURES - {"at"}:
        return 0
    first = place + 1 + (words[place + 1 : place + 2] != [] and words[place + 1] in _DIRECTIONS)
    for end in range(first, min(first + _LONGEST_STREET, len(words))):
        if end > first and words[end] in vocabulary.streets:
            return end + 1
        measured = tokens[end].kind != "word" or vocabulary.measures.at(tokens, end, words)
        known = words[end] in vocabulary.small or vocabulary.meanings.at(tokens, end, words)
        if measured or (known and words[end] not in vocabulary.street_names):
            break
    named = before != "at" and words[first : first + 1] and words[first] in vocabulary.street_names
    return first + 1 if named and words[first + 1 : first + 2] not in (["tree"], ["trees"]) else 0
