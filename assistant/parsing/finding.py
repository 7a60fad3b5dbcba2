"""Which entries a line asks for: the signs that it shares with what is asked of each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from operator import mul
from typing import Any

from assistant.knowledge_base import Knowledge
from assistant.knowledge_base.image import Sections
from assistant.knowledge_base.words import NONE_OF_OURS, stems_of
from assistant.parsing.indexing import ASKS, FIRST, SIGNS, STEMS, TENTHS, TOLD, length_of, signs_of, told_at
from assistant.parsing.lanes import numbers_of, row_of
from assistant.parsing.line import Line
from assistant.parsing.near import FAR, Near

# fitted on tests/corpus/practice.yaml, not on the parts that are held back
_EACH = (1.0, 0.5, 0.25)  # what the entry's best ask counts, and the next two of them
_ALL = 2.0  # what all its asks together add
_SAME, _WORD_FOR_WORD = 1.5, 0.97  # what a line adds that is one of the asks, but for figures and common words
_MOST_OF_A_PART = 2.4  # what a sentence counts at most: the line says more than it
_SLIP = 0.85  # share of a word that had to be mended
_LONGEST_WORD = 40  # marks of a word of the glossary
_ARTICLE = re.compile(r"^(a|an|the|this|my)\s+((word|term)\s+)?")
_NEAR, _NEAR_OF_A_PART = 12, 6  # entries whose asks are looked at: those that look nearest
_FINE = 10_000  # parts of one, for what was learned
_REFUSED = 2  # and of what is refused so many
_MOST_PARTS = 4  # sentences of a line that are looked up on their own
_FEWEST = 3  # words of a sentence that is looked up on its own
_SENTENCE = re.compile(r"[.!?;]+\s+|\s+-\s+|\n")


class Finder:
    """The index of all that is asked, opened once a session."""

    def __init__(self, knowledge: Knowledge, kept: Sections) -> None:
        index = kept.section(FIRST)
        finding = knowledge.section("finding")
        self._like: dict[str, str] = finding["like"]
        self._words: dict[str, str] = finding["words"]
        self._defines: list[list[str]] = finding["defines"]
        self._entries: list[str] = index["entries"]
        self._place = {name: place for place, name in enumerate(self._entries)}
        self._refused = [place for place, name in enumerate(self._entries) if name.startswith(NONE_OF_OURS)]
        self._kept = kept
        self._told: str = kept.section(TOLD)
        self._begins = row_of(enumerate(index["bias"]), len(self._entries))
        self._signs: Mapping[str, tuple[float, str]] = kept.section(SIGNS)
        self._common = frozenset(index["common"])
        self._strange: float = index["strange"]
        self._known: Mapping[str, str] = kept.section(STEMS)
        self._mended: dict[str, str] = {}
        self._rows: dict[str, int] = {}
        self._held: dict[int, _Entry] = {}

    def word(self, text: str) -> str:
        """The word of the glossary whose meaning a line asks for: `what is thatch`; empty where it asks for none."""
        line = text.lower().strip(" ?!.")
        for before, after in self._defines:
            if line.startswith(before) and line.endswith(after) and len(line) > len(before) + len(after):
                asked = line[len(before) : len(line) - len(after)].strip(" \"'?")
                asked = _ARTICLE.sub("", asked)
                found = self._words.get(" ".join(stems_of(asked, {}))) if len(asked) < _LONGEST_WORD else None
                if found:
                    return found
        return ""

    def find(self, line: Line, also: Iterable[str] = ()) -> dict[str, Near]:
        """Entry -> how near it is to a line: those that look nearest, of what is refused some as well, and those named in
        `also`. Of a story the sentence counts that fits."""
        best: dict[int, Near] = {}
        named = [self._place[name] for name in also if name in self._place]
        for part in (None, *_sentences(line.text)):
            most = _NEAR if part is None else _NEAR_OF_A_PART
            for place, near in self._scores(signs_of(line, self._like, self._known, part), named, most).items():
                like = near.like if part is None else min(near.like, _MOST_OF_A_PART)
                held = best.get(place, FAR)
                best[place] = Near(max(like, held.like), max(near.learned, held.learned))
        return {self._entries[place]: near for place, near in best.items()}

    def _scores(self, signs: list[str], named: list[int], most: int) -> dict[int, Near]:
        """Entry -> how near it is to these signs, for so many that look nearest, and a few more."""
        line = {sign: (weight, share) for sign, weight, share in self._weighed(signs)}
        known = {sign: pair for sign, pair in line.items() if sign in self._signs}  # the others are in no entry
        learned = self._learned(known)
        least = sorted(learned)[-most:][0]
        nearest = [place for place, known in enumerate(learned) if known >= least]
        refused = sorted(self._refused, key=learned.__getitem__)[-_REFUSED:]
        near = dict.fromkeys((*nearest, *refused, *named, *told_at(self._told, line)))
        length = length_of(weight for weight, _ in line.values())
        squares = {sign: round(share * weight * weight * _FINE) for sign, (weight, share) in known.items()}
        return {
            place: Near(round(self._entry(place).fit(squares, length * _FINE), 3), round(learned[place] / _FINE, 3))
            for place in near
        }

    def _learned(self, known: dict[str, tuple[float, float]]) -> Sequence[int]:
        """For each entry, by its place, what the signs say for it and against it, in parts of _FINE: 0 is the edge."""
        length = length_of(weight for weight, _ in known.values())
        whole = self._begins * (_FINE // TENTHS)
        for sign, (weight, share) in known.items():
            whole += self._row(sign) * round(share * weight / length * _FINE / TENTHS)
        return numbers_of(whole, len(self._entries))

    @cached_property
    def _stems(self) -> list[str]:
        """What a mistyped stem may have been."""
        return [sign for sign in self._signs if sign.isalpha()]

    def _entry(self, place: int) -> _Entry:
        """An entry's asks, read when it is first near."""
        if place not in self._held:
            self._held[place] = _Entry(self._kept.read(f"{ASKS}{place}"))
        return self._held[place]

    def _row(self, sign: str) -> int:
        """What a sign says for the entries and against them, read from the index when it is first met."""
        if sign not in self._rows:
            pairs = (one.partition(":") for one in self._signs[sign][1].split())
            self._rows[sign] = row_of(((int(place), int(tenths)) for place, _, tenths in pairs), len(self._entries))
        return self._rows[sign]

    def _weighed(self, signs: Iterable[str]) -> Iterable[tuple[str, float, float]]:
        """Sign, its weight, and its share: typing errors are mended, and count a little less."""
        for sign in signs:
            if sign in self._common:
                continue
            meant = sign if sign in self._signs or not sign.isalpha() else self._nearest(sign)
            if not meant:
                yield sign, self._strange, 1.0
            elif meant in self._signs:
                yield meant, self._signs[meant][0], 1.0 if meant == sign else _SLIP

    def _nearest(self, stem: str) -> str:
        if len(stem) < 4:
            return ""
        if stem not in self._mended:
            from rapidfuzz import process
            from rapidfuzz.distance import OSA

            edits = 1 if len(stem) <= 6 else 2
            close = process.extract(stem, self._stems, scorer=OSA.distance, score_cutoff=edits, limit=8)
            meant = [(distance, -len(one), one) for one, distance, _ in close if one[0] == stem[0]]
            self._mended[stem] = min(meant)[-1] if meant else ""
        return self._mended[stem]


class _Entry:
    """The asks of one entry as vectors, and their sum."""

    def __init__(self, kept: dict[str, Any]) -> None:
        self._text = f" {kept['asks'].replace('|', ' | ')} "
        self._asks: list[str] = self._text.split("|")
        self._shares = [1.0 / length for length in kept["lengths"]]
        self._long: float = kept["long"]
        self._standing: dict[str, tuple[int, float]] = {}
        self._absent: set[str] = set()

    def _look_for(self, sign: str) -> None:
        """Keeps the asks that a sign stands in, as a row of ones, and how much of their sum, for a weight of one; looked for
        when it is first met."""
        told = f" {sign} "
        if told not in self._text:
            self._absent.add(sign)
            return
        asks = [place for place, ask in enumerate(self._asks) if told in ask]
        ones = row_of(((place, 1) for place in asks), len(self._asks))
        self._standing[sign] = ones, sum(self._shares[place] for place in asks)

    def fit(self, line: dict[str, int], length: float) -> float:
        """How well the entry fits a line of that length, signs and length in parts of _FINE: what each sign adds where it is
        shared."""
        shared = 0
        whole = 0.0
        standing, absent = self._standing, self._absent
        for sign in [sign for sign in line if sign not in standing and sign not in absent]:
            self._look_for(sign)
        for sign in [sign for sign in line if sign in standing]:
            asks, part = standing[sign]
            shared += asks * line[sign]
            whole += line[sign] * part
        angles = sorted(map(mul, numbers_of(shared, len(self._shares)), self._shares), reverse=True)
        same = _SAME if angles[0] > _WORD_FOR_WORD * length else 0.0
        return same + (_together(angles) + _ALL * whole / self._long) / length


def _together(angles: list[float]) -> float:
    """The best ask, and a share of the next two: an entry that several of its asks speak for is surer."""
    return sum(map(mul, _EACH, angles))


def _sentences(text: str) -> list[tuple[int, int]]:
    """Where the sentences of a line stand that are long enough to be looked up on their own; none where it is one."""
    ends = [found.span() for found in _SENTENCE.finditer(text)]
    starts = [0, *(end for _, end in ends)]
    parts = list(zip(starts, [*(start for start, _ in ends), len(text)], strict=True))
    return [part for part in parts if len(text[slice(*part)].split()) >= _FEWEST][:_MOST_PARTS] if ends else []
