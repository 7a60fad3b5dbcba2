"""Which entry of the practice a line asks for: shared word stems against what either side has alone."""

from __future__ import annotations

import heapq
import math
import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.knowledge_base import Knowledge
from assistant.knowledge_base.words import stems_of

# fitted on tests/corpus/practice.yaml, not on the parts that are held back
_SECOND, _THIRD = 0.5, 0.25  # what the entry's next best asks add to the best one
_ALL = 1.0  # what all its asks together add
_SLIP = 0.85  # share of a word that had to be mended
OF_INTENTS = "intents."  # entries that are questions of our own
_LONGEST_WORD = 40  # marks of a word of the glossary
_ARTICLE = re.compile(r"^(a|an|the|this|my)\s+")
_THOUSAND = 1000
_NEAR = 24  # entries whose single asks are looked at: those nearest as a whole
_MOST_PARTS = 4  # sentences of a line that are looked up on their own
_FEWEST = 3  # words of a sentence that is looked up on its own
_SENTENCE = re.compile(r"[.!?;]+\s+|\s+-\s+|\n")


@dataclass(frozen=True, slots=True)
class Found:
    """An entry with how well it fits: 2.75 at the most, 1 where it is most likely meant."""

    entry: str
    score: float


class Finder:
    """The index of the practice, opened once a session."""

    def __init__(self, knowledge: Knowledge) -> None:
        index = knowledge.section("finding")
        self._like: dict[str, str] = index["like"]
        self._entries: list[str] = index["entries"]
        self._asks: list[str] = index["asks"]
        self._posts: dict[str, str] = index["posts"]
        self._weights: dict[str, float] = index["weights"]
        self._strange: float = index["strange"]
        self._words: dict[str, str] = index["words"]
        self._defines: list[list[str]] = index["defines"]
        self._mended: dict[str, str] = {}
        self._read: dict[str, list[tuple[int, float]]] = {}
        self._held: dict[int, tuple[list[float], dict[str, list[int]]]] = {}

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

    def find(self, text: str, most: int = 12) -> list[Found]:
        """The entries that fit a line best, the best first. Of a story the sentence counts that fits."""
        parts = [part for part in _SENTENCE.split(text) if len(part.split()) >= _FEWEST][:_MOST_PARTS]
        best: dict[int, float] = {}
        for part in dict.fromkeys([text, *parts]):
            for place, score in self._scores(part).items():
                best[place] = max(score, best.get(place, 0.0))
        ranked = sorted(best.items(), key=lambda one: (-one[1], one[0]))[:most]
        return [Found(self._entries[place], round(score, 3)) for place, score in ranked]

    def _scores(self, text: str) -> dict[int, float]:
        """Entry -> how well it fits: the angle between the line and the entry as a whole, and for the nearest of them those
        to the single asks."""
        line = {stem: (weight, share) for stem, weight, share in self._weighed(stems_of(text, self._like))}
        length = math.sqrt(sum(weight**2 for weight, _ in line.values())) or 1.0
        whole: dict[int, float] = defaultdict(float)
        for stem, (weight, share) in line.items():
            for place, part in self._places(stem):
                whole[place] += share * weight * part
        near = dict(heapq.nlargest(_NEAR, whole.items(), key=lambda one: (one[1], -one[0])))
        refused = len(self._entries) - 1
        if refused in whole:  # what is none of ours is many things, and as a whole near to none of them
            near[refused] = whole[refused]
        squares = {stem: share * weight * weight for stem, (weight, share) in line.items()}
        return {
            place: _together(self._angles(place, squares, length)) + _ALL * both / length
            for place, both in near.items()
        }

    def _angles(self, place: int, squares: dict[str, float], length: float) -> list[float]:
        """The cosines between a line and the asks of an entry, by way of the stems that they share."""
        lengths, posts = self._asks_of(place)
        shared: dict[int, float] = defaultdict(float)
        for stem, square in squares.items():
            for n in posts.get(stem, ()):
                shared[n] += square
        return [both / (length * lengths[n]) for n, both in shared.items()]

    def _asks_of(self, place: int) -> tuple[list[float], dict[str, list[int]]]:
        """The lengths of an entry's asks, and for each stem the asks it stands in; read when the entry is first near."""
        if place not in self._held:
            posts: dict[str, list[int]] = defaultdict(list)
            lengths = []
            for n, ask in enumerate(self._asks[place].split("|")):
                stems = ask.split()
                lengths.append(math.sqrt(sum(self._weights[one] ** 2 for one in stems)) or 1.0)
                for stem in stems:
                    posts[stem].append(n)
            self._held[place] = (lengths, dict(posts))
        return self._held[place]

    def _places(self, stem: str) -> list[tuple[int, float]]:
        """The entries that a stem stands in and how much of it, read from the index when it is first met."""
        if stem not in self._read:
            pairs = (one.partition(":") for one in self._posts.get(stem, "").split())
            self._read[stem] = [(int(place), int(part) / _THOUSAND) for place, _, part in pairs]
        return self._read[stem]

    def _weighed(self, stems: Iterable[str]) -> Iterable[tuple[str, float, float]]:
        """Stem, its weight, and its share: typing errors are mended, and count a little less. Figures tell nothing here."""
        for stem in stems:
            if stem.isdigit():
                continue
            if stem in self._weights:
                yield stem, self._weights[stem], 1.0
                continue
            meant = self._nearest(stem)
            yield (meant, self._weights[meant], _SLIP) if meant else (stem, self._strange, 1.0)

    def _nearest(self, stem: str) -> str:
        if len(stem) < 4:
            return ""
        if stem not in self._mended:
            from rapidfuzz import process
            from rapidfuzz.distance import OSA

            edits = 1 if len(stem) <= 6 else 2
            close = process.extract(stem, list(self._weights), scorer=OSA.distance, score_cutoff=edits, limit=8)
            meant = [(distance, -len(one), one) for one, distance, _ in close if one[0] == stem[0]]
            self._mended[stem] = min(meant)[-1] if meant else ""
        return self._mended[stem]


def _together(angles: list[float]) -> float:
    """The best ask, and a share of the next two: an entry that several of its asks speak for is surer."""
    return sum(share * angle for share, angle in zip((1.0, _SECOND, _THIRD), heapq.nlargest(3, angles), strict=False))
