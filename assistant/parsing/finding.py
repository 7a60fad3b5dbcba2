"""Which entry of the practice a line asks for: shared word stems against what either side has alone."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.knowledge_base import Knowledge
from assistant.knowledge_base.words import stems_of

# fitted on tests/corpus/practice.yaml, not on the part that is held back
_LINE_ALONE = 0.2  # weight of a word of the line that the ask does not have
_STRANGE = 0.8  # weight of a word of the line that no entry has
_ASK_ALONE = 0.45  # weight of a word of the ask that the line does not have
_NEAR = 0.85  # share of a word of the line that stands elsewhere in the entry
_SECOND = 0.3  # what the entry's next best ask adds
_COMMON = 1.4  # a word of less weight than this chooses no ask
_FEW = 2.0  # a match of few or common words counts for less: this much shared weight for one half
_SLIP = 0.85  # share of a word that had to be mended
_LEAD, _FAR_AHEAD = 1.0, 0.3  # what a lead over the next entry adds, up to so much of it
_LONGEST_WORD = 40  # marks of a word of the glossary
_ARTICLE = re.compile(r"^(a|an|the|this|my)\s+")
_FEWEST = 3  # words of a sentence that is looked up on its own
_SENTENCE = re.compile(r"[.!?;]+\s+|\s+-\s+|\n")


@dataclass(frozen=True, slots=True)
class Found:
    """An entry with how well it fits; above 1 where two of its asks fit almost word for word."""

    entry: str
    score: float


class Finder:
    """The index of the practice, opened once a session."""

    def __init__(self, knowledge: Knowledge) -> None:
        index = knowledge.section("finding")
        self._like: dict[str, str] = index["like"]
        self._entries: list[str] = index["entries"]
        self._asks: list[tuple[int, float]] = index["asks"]
        self._posts: dict[str, str] = index["posts"]
        self._near = [frozenset(one.split()) for one in index["near"]]
        self._weights: dict[str, float] = index["weights"]
        self._strange: float = index["strange"]
        self._words: dict[str, str] = index["words"]
        self._defines: list[list[str]] = index["defines"]
        self._mended: dict[str, str] = {}
        self._read: dict[str, frozenset[int]] = {}

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

    def find(self, text: str, most: int = 5) -> list[Found]:
        """The entries that fit a line best, the best first. Of a story the sentence counts that fits."""
        parts = [part for part in _SENTENCE.split(text) if len(part.split()) >= _FEWEST]
        best: dict[int, float] = {}
        for part in dict.fromkeys([text, *parts]):
            for place, score in self._scores(part).items():
                best[place] = max(score, best.get(place, 0.0))
        ranked = sorted(best.items(), key=lambda one: (-one[1], one[0]))[:most]
        return [Found(self._entries[place], round(score, 3)) for place, score in ranked]

    def _scores(self, text: str) -> dict[int, float]:
        """Entry -> how well its best ask fits."""
        line = dict(self._weighed(stems_of(text, self._like)))
        strange = sum(weight for stem, (weight, _) in line.items() if stem not in self._weights)
        whole = sum(weight for weight, _ in line.values()) - strange
        shared = self._shared(line)
        beside: dict[int, float] = {}
        found: dict[int, list[float]] = defaultdict(list)
        for ask, both in shared.items():
            place, own = self._asks[ask]
            if place not in beside:
                near = self._near[place]
                beside[place] = sum(weight for stem, (weight, _) in line.items() if stem in near)
            rest = max(0.0, beside[place] - both) * (1 - _NEAR) + (whole - max(beside[place], both))
            apart = _LINE_ALONE * rest + _STRANGE * strange + _ASK_ALONE * max(0.0, own - both)
            found[place].append(both / (both + apart) * both / (both + _FEW) if both else 0.0)
        return {place: _with_second(scores) for place, scores in found.items()}

    def _shared(self, line: dict[str, tuple[float, float]]) -> dict[int, float]:
        """Ask -> the weight it shares with a line. Rare words choose the asks; common ones only add to those."""
        shared: dict[int, float] = defaultdict(float)
        for stem, (weight, share) in sorted(line.items(), key=lambda one: -one[1][0]):
            places = self._places(stem)
            if weight < _COMMON and shared:
                for ask in shared.keys() & places:
                    shared[ask] += weight * share
            else:
                for ask in places:
                    shared[ask] += weight * share
        return shared

    def _places(self, stem: str) -> frozenset[int]:
        """The asks that a stem stands in, read from the index when it is first met."""
        if stem not in self._read:
            self._read[stem] = frozenset(map(int, self._posts.get(stem, "").split()))
        return self._read[stem]

    def _weighed(self, stems: Iterable[str]) -> Iterable[tuple[str, tuple[float, float]]]:
        """Stem -> (weight, share): typing errors are mended, and count a little less."""
        for stem in stems:
            if stem in self._weights:
                if self._weights[stem]:
                    yield stem, (self._weights[stem], 1.0)
                continue
            meant = self._nearest(stem)
            yield (meant, (self._weights[meant], _SLIP)) if meant else (stem, (self._strange, 1.0))

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


def _with_second(scores: list[float]) -> float:
    """The best ask, and a share of the next best: an entry that two of its asks speak for is surer."""
    first, *rest = sorted(scores, reverse=True)[:2]
    return first + _SECOND * sum(rest)


def sureness(found: list[Found]) -> float:
    """How sure the first entry is: by how well it fits, and by its lead over the next, or over what is none of ours."""
    if not found or not found[0].entry:
        return 0.0
    lead = found[0].score - (found[1].score if len(found) > 1 else 0.0)
    return found[0].score + _LEAD * min(lead, _FAR_AHEAD)
