"""The index of all that is asked: each ask, and each entry as a whole, as a vector of signs; made once and kept.

The signs of a line are its word stems and what reading it gave: meanings, kinds of amounts, kinds of names. Lines that share
no word may still share these, and lines that share words may differ in them: `how many pounds` and `how many bags`.
"""

from __future__ import annotations

import math
import zlib
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from assistant.knowledge_base.folded import Folded
from assistant.knowledge_base.image import Sections
from assistant.knowledge_base.words import plain_words, stem_of, stems_of
from assistant.parsing.line import Line
from assistant.parsing.reading import read
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Now

FIRST, SIGNS, STEMS, TOLD = "first", "signs", "stems", "told"  # the sections that are always opened
ASKS = "asks."  # and those of the entries, by their places
TENTHS = 10
_COMMON = 1.0  # weight of a sign that stands everywhere; a rare one weighs more
_TOO_COMMON = 2.6  # a lighter sign stands in a fifth of all lines: it tells nothing, and is left out
_PLACES = 50  # entries that are kept for a sign, of those that nothing was learned of
_UNLEARNED, _BEGINS = 20, -10  # tenths for the angle to such an entry as a whole, and where it begins
_OF_SUM, _OF_PLACE = 8, 5  # digits of the sum of an ask's signs, and of the place of its entry
_OWN = {"lawn": "place", "site": "place"}  # names that the user gave, and what they are in the index
_ANY_DAY = Now(datetime(2001, 1, 1))  # which day a date means is no sign


def signs_of(
    line: Line, like: Mapping[str, str], stems: Mapping[str, str], part: tuple[int, int] | None = None
) -> list[str]:
    """The signs of a line, or of the part of it between two places in its text, each once.

    `mow`, `~how_much`, `=area`, `==area` (two of them), `{species}`; figures tell nothing. The user's own name of a lawn is a
    place, whatever its words mean.
    """
    start, end = part or (0, len(line.text))
    tokens = [n for n, token in enumerate(line.tokens) if start <= token.start < end]
    first, last = (tokens[0], tokens[-1] + 1) if tokens else (0, 0)
    own = {place for name, at, to in line.names if name.type in _OWN for place in range(at, to)}
    said = " ".join(line.words[place] for place in range(first, last) if place not in own)  # typing errors mended
    words = [stem for stem in stems_of(said, like, stems) if not stem.isdigit()]
    terms = {term for one in line.meanings if first <= one.start < last for term in one.terms} if part else line.terms
    kinds = Counter(_kind(one.amount) for one in line.amounts if first <= one.start < last)
    more = [*(f"={kind}" for kind in kinds), *(f"=={kind}" for kind, often in kinds.items() if often > 1)]
    names = [f"{{{_OWN.get(name.type, name.type)}}}" for name, at, _ in line.names if first <= at < last]
    return list(dict.fromkeys([*words, *sorted(terms), *more, *names]))


def _kind(amount: Any) -> str:
    """`rate/1000_sq_ft:N`: of what kind, per what, and of what an amount is."""
    per, of = (f"/{amount.per}" if amount.per else ""), (f":{amount.of}" if amount.of else "")
    return f"{amount.kind}{per}{of}".replace(" ", "_")


def index_of(vocabulary: Vocabulary) -> Sections:
    """The index, from the kept image where there is one: long texts, which open faster than as many things in them.

    In the first section `bias` is what each entry begins from, in tenths. That of the signs says of each how rare it is, and
    for which entries it speaks, or against which, and how much (entry:tenths). The stems are those of all words that were
    met, so that a line in such words needs no stemmer; what is told says where just these signs are asked (told_at). The asks
    of an entry by their signs, how long each is as a vector, and how long their sum is, are a section of their own,
    `asks.PLACE`, read when the entry is near.
    """
    knowledge = vocabulary.knowledge
    return knowledge.derived("index", _code(), lambda: _made(Vocabulary(knowledge)))


def _code() -> bytes:
    """What reading a line gives depends on all of this room. Two sums: hashlib alone would cost two milliseconds."""
    text = b"".join(path.read_bytes() for path in sorted(Path(__file__).parent.glob("*.py")))
    return zlib.crc32(text).to_bytes(4, "big") + zlib.adler32(text).to_bytes(4, "big")


def weighed_asks(
    vocabulary: Vocabulary,
) -> tuple[list[list[tuple[str, ...]]], dict[str, float], list[str], dict[str, str]]:
    """The asks of each entry as their signs, the weight of each sign, the signs that are too common to tell anything, and the
    stems of all words."""
    asked, like = vocabulary.knowledge.section("asked"), vocabulary.knowledge.section("finding")["like"]
    stems = {word: stem_of(word) for texts in asked.values() for text in texts for word in plain_words(text)}
    asks = [
        sorted({tuple(signs_of(read(text, vocabulary, _ANY_DAY), like, stems)) for text in texts})
        for texts in asked.values()
    ]
    found_in = Counter(sign for entry in asks for signs in entry for sign in signs)
    count = sum(map(len, asks))
    rarity = {sign: round(_COMMON + math.log((1 + count) / (1 + often)), 3) for sign, often in found_in.items()}
    weights = {sign: weight for sign, weight in rarity.items() if weight >= _TOO_COMMON}
    asks = [sorted({tuple(sign for sign in signs if sign in weights) for signs in entry}) for entry in asks]
    return asks, weights, sorted(rarity.keys() - weights.keys()), stems


def _made(vocabulary: Vocabulary) -> dict[str, Any]:
    entries = list(vocabulary.knowledge.section("asked"))
    asks, weights, common, stems = weighed_asks(vocabulary)
    learned = learned_of(vocabulary.knowledge.section("learned"))
    posts: dict[str, list[tuple[int, int]]] = defaultdict(list)
    bias = []
    kept: dict[str, dict[str, Any]] = {}
    for place, entry in enumerate(asks):
        lengths, whole = _lengths_and_sum(entry, weights)
        length = length_of(whole.values())
        known = learned.get(entries[place]) or _unlearned(whole, length)
        bias.append(known.bias)
        for sign, tenths in known.tenths.items():
            posts[sign].append((tenths, place))
        texts = "|".join(" ".join(signs) for signs in entry)
        kept[f"{ASKS}{place}"] = {
            "asks": texts,
            "lengths": [round(one, 3) for one in lengths],
            "long": round(length, 3),
        }
    told = {f"{sum_of(signs)}{place:0{_OF_PLACE}x}" for place, entry in enumerate(asks) for signs in entry}
    first = {
        "entries": entries,
        "bias": bias,
        "common": common,
        "strange": round(_COMMON + math.log(1 + sum(map(len, asks))), 3),
    }
    signs = {
        sign: (weight, " ".join(f"{place}:{part}" for part, place in _most(posts[sign], learned, entries)))
        for sign, weight in weights.items()
    }
    return {FIRST: first, SIGNS: Folded(signs), STEMS: Folded(stems), TOLD: "".join(sorted(told)), **kept}


def _lengths_and_sum(
    asks: Iterable[Sequence[str]], weights: Mapping[str, float]
) -> tuple[list[float], dict[str, float]]:
    """How long each ask is as a vector of its signs, and the sum of all of them, each brought to the length of one."""
    lengths: list[float] = []
    whole: dict[str, float] = defaultdict(float)
    for signs in asks:
        lengths.append(length_of(weights[sign] for sign in signs))
        for sign in signs:
            whole[sign] += weights[sign] / lengths[-1]
    return lengths, whole


def sum_of(signs: Iterable[str]) -> str:
    """A short key of just these signs, in any order."""
    return f"{zlib.crc32(' '.join(sorted(signs)).encode()):0{_OF_SUM}x}"


def told_at(told: str, signs: Iterable[str]) -> list[int]:
    """The entries for which just these signs are asked, out of a sorted row of sums, each with its entry behind it."""
    key = sum_of(signs)
    each = _OF_SUM + _OF_PLACE
    found = []
    row = bisect_left(range(len(told) // each), key, key=lambda row: told[row * each : row * each + _OF_SUM])
    while told.startswith(key, row * each):
        found.append(int(told[row * each + _OF_SUM : (row + 1) * each], 16))
        row += 1
    return found


def length_of(parts: Iterable[float]) -> float:
    """The length of a vector; 1 for one of no parts, so that it can be divided by."""
    return math.sqrt(sum(part**2 for part in parts)) or 1.0


def _most(found: list[tuple[int, int]], learned: Container[str], entries: Sequence[str]) -> list[tuple[int, int]]:
    """(how much, entry) of all entries that something was learned of, and of the others those that have most of a sign; for
    those that look near the rest is counted anyway."""
    others = sorted((one for one in found if entries[one[1]] not in learned), key=lambda one: (-one[0], one[1]))
    return [*(one for one in found if entries[one[1]] in learned), *others[:_PLACES]]


def _unlearned(whole: Mapping[str, float], length: float) -> Learned:
    """What stands in for it where nothing was learned: the sum of the asks."""
    return Learned(_BEGINS, {sign: round(_UNLEARNED * part / length) for sign, part in whole.items()})


class Learned(NamedTuple):
    """What was learned of one entry, in tenths: where it begins, and what each sign says for it or against it."""

    bias: int
    tenths: dict[str, int]


def learned_of(text: str) -> dict[str, Learned]:
    """Entry -> what was learned of it, from a text of a line an entry: `practices.x -13 mow:8 seed:-2`."""
    made = {}
    for line in text.splitlines():
        if not line.startswith("#"):
            entry, bias, *signs = line.split()
            pairs = (sign.rpartition(":") for sign in signs)
            made[entry] = Learned(int(bias), {sign: int(tenths) for sign, _, tenths in pairs})
    return made
