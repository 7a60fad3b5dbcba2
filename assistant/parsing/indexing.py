"""The index of all that is asked: each ask, and each entry as a whole, as a vector of signs; made once and kept.

The signs of a line are its word stems and what reading it gave: meanings, kinds of amounts, kinds of names. Lines that share
no word may still share these, and lines that share words may differ in them: `how many pounds` and `how many bags`.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from hashlib import blake2b
from pathlib import Path
from typing import Any

from assistant.knowledge_base.words import plain_words, stem_of, stems_of
from assistant.parsing.reading import Line, read
from assistant.parsing.vocabulary import Vocabulary
from assistant.terms import Now

THOUSAND = 1000
_COMMON = 1.0  # weight of a sign that stands everywhere; a rare one weighs more
_TOO_COMMON = 2.6  # a lighter sign stands in a fifth of all lines: it tells nothing, and is left out
_PLACES = 100  # entries that are kept for a sign
_ANY_DAY = Now(datetime(2001, 1, 1))  # which day a date means is no sign


def signs_of(
    line: Line, like: Mapping[str, str], stems: Mapping[str, str], part: tuple[int, int] | None = None
) -> list[str]:
    """The signs of a line, or of the part of it between two places in its text, each once.

    `mow`, `~how_much`, `=area`, `==area` (two of them), `{species}`; figures tell nothing.
    """
    start, end = part or (0, len(line.text))
    tokens = [n for n, token in enumerate(line.tokens) if start <= token.start < end]
    first, last = (tokens[0], tokens[-1] + 1) if tokens else (0, 0)
    words = [stem for stem in stems_of(line.text[start:end], like, stems) if not stem.isdigit()]
    terms = {term for one in line.meanings if first <= one.start < last for term in one.terms} if part else line.terms
    kinds = Counter(_kind(one.amount) for one in line.amounts if first <= one.start < last)
    more = [*(f"={kind}" for kind in kinds), *(f"=={kind}" for kind, often in kinds.items() if often > 1)]
    names = [f"{{{name.type}}}" for name, at, _ in line.names if first <= at < last]
    return list(dict.fromkeys([*words, *sorted(terms), *more, *names]))


def _kind(amount: Any) -> str:
    """`rate/1000_sq_ft:N`: of what kind, per what, and of what an amount is."""
    per, of = (f"/{amount.per}" if amount.per else ""), (f":{amount.of}" if amount.of else "")
    return f"{amount.kind}{per}{of}".replace(" ", "_")


def index_of(vocabulary: Vocabulary) -> dict[str, Any]:
    """The index, from the kept image where there is one.

    `weights` say how rare a sign is; `posts` say for a sign in which entries it stands most, and how much of it
    (entry:thousandths, all as one text, read when the sign is met); `asks` holds every ask of an entry by its signs, read when
    the entry is near; `stems` are those of all words that were met, so that a line in such words needs no stemmer.
    """
    knowledge = vocabulary.knowledge
    return knowledge.derived("index", _code(), lambda: _made(knowledge.section("asked"), Vocabulary(knowledge)))


def _code() -> bytes:
    """What reading a line gives depends on all of this room."""
    digest = blake2b(digest_size=16)
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.digest()


def _made(asked: Mapping[str, list[str]], vocabulary: Vocabulary) -> dict[str, Any]:
    like = vocabulary.knowledge.section("finding")["like"]
    stems = {word: stem_of(word) for texts in asked.values() for text in texts for word in plain_words(text)}
    asks = [
        sorted({tuple(signs_of(read(text, vocabulary, _ANY_DAY), like, stems)) for text in texts})
        for texts in asked.values()
    ]
    found_in = Counter(sign for entry in asks for signs in entry for sign in signs)
    count = sum(map(len, asks))
    rarity = {sign: round(_COMMON + math.log((1 + count) / (1 + often)), 3) for sign, often in found_in.items()}
    weights = {sign: weight for sign, weight in rarity.items() if weight >= _TOO_COMMON}
    common = sorted(rarity.keys() - weights.keys())
    asks = [sorted({tuple(sign for sign in signs if sign in weights) for signs in entry}) for entry in asks]
    posts: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for place, entry in enumerate(asks):
        _, whole = lengths_and_sum(entry, weights)
        length = length_of(whole.values())
        for sign, part in whole.items():
            posts[sign].append((round(THOUSAND * part / length), place))
    return {
        "entries": list(asked),
        "asks": ["|".join(" ".join(signs) for signs in entry) for entry in asks],
        "posts": {sign: " ".join(f"{place}:{part}" for part, place in _most(found)) for sign, found in posts.items()},
        "weights": weights,
        "common": common,
        "stems": " ".join(f"{word}:{stem}" for word, stem in stems.items()),
        "strange": round(_COMMON + math.log(1 + count), 3),
    }


def lengths_and_sum(
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


def length_of(parts: Iterable[float]) -> float:
    """The length of a vector; 1 for one of no parts, so that it can be divided by."""
    return math.sqrt(sum(part**2 for part in parts)) or 1.0


def _most(found: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """(how much, entry) of the entries that have most of a sign; for those that look near the rest is counted anyway."""
    return sorted(found, key=lambda one: (-one[0], one[1]))[:_PLACES]
