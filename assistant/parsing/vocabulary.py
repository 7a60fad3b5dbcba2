"""All words the parser knows: the language section of the knowledge base and the user's own names."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any

from assistant.knowledge_base import Knowledge
from assistant.parsing import dates, numbers
from assistant.parsing.phrases import Phrases
from assistant.parsing.tokens import tokens_of

if TYPE_CHECKING:
    from assistant.parsing.finding import Finder

_NEGATIONS = {
    "not",
    "no",
    "never",
    "dont",
    "cant",
    "wont",
    "isnt",
    "arent",
    "wasnt",
    "werent",
    "havent",
    "hasnt",
    "hadnt",
    "didnt",
    "doesnt",
    "wouldnt",
    "couldnt",
    "shouldnt",
}
_SHORT = 4
_SHORT_NAME = 2  # letters of a name that is too short to be known by
_NEVER_CORRECTED = _NEGATIONS | numbers.WORDS | dates.WORDS


class Vocabulary:
    """Built once a session. `lawns` are the user's own lawn names, which the parser takes as they are."""

    def __init__(self, knowledge: Knowledge, lawns: tuple[str, ...] = ()) -> None:
        language = knowledge.section("language")
        self.knowledge = knowledge
        self.lawns = lawns
        self.measures = Phrases(language["measures"])
        self.small = frozenset(language["small"])
        self.spelled: dict[str, str] = language["spelled"]
        self.streets = frozenset(language["streets"])
        self.street_names = frozenset(language["street_names"])
        self.begins = Phrases(language["begins"])
        self.asked_as: list[list[str]] = language["defines"]
        self.picks: dict[str, Any] = language["picks"]
        self.weights: dict[str, float] = language["weights"]
        self._by_cue: dict[str, list[tuple[str, int]]] = knowledge.section("cues")
        self._cues: dict[str, list[tuple[str, dict[str, Any]]]] = {}
        self.about_an_answer = frozenset(language["about_an_answer"])  # our questions about the last answer
        self.put_to_money = frozenset(language["put_to_money"])  # our questions that go on from a sum of money
        self.put_words = frozenset(word for must in language["put_to_money"].values() for word in must)
        self.bounds: dict[str, dict[str, Any]] = language["bounds"]  # slot -> one of its name with what is possible
        self.by_measure: dict[str, list[str]] = language["by_measure"]
        self.unit_kinds: dict[str, list[str]] = language["unit_kinds"]
        self.asked_kinds: dict[str, list[str]] = language["asked_kinds"]
        self.negated: dict[str, str] = language["negated"]
        self.intents: dict[str, Any] = knowledge.section("intents")
        table: dict[str, list[Any]] = knowledge.section("meanings").afresh()
        own = self._own(table)
        if own:
            for first, entries in own.items():
                table[first] = sorted([*entries, *table.get(first, [])], key=lambda entry: -len(entry[0]))
        self.meanings = Phrases(table)
        self.known = frozenset(language["known"].split()) | {
            word for entries in own.values() for words, _ in entries for word in words
        }
        self._corrections: dict[str, str] = {}

    @cached_property
    def facts(self) -> frozenset[str]:
        """The slots that are kept of a lawn."""
        return frozenset(name for entry in self.intents.values() for name in entry["keeps"])

    @cached_property
    def ordinary(self) -> frozenset[str]:
        """English words that are no typing error of ours. Loaded when the first strange word comes."""
        return frozenset(self.knowledge.section("ordinary").split())

    def _own(self, table: Mapping[str, Any]) -> dict[str, list[Any]]:
        """The names of the user's lawns as phrases, by their first words; an address also without its street and number
        (`14 Oak St` is `14 oak`, and `oak`), where that says of which lawns it may be one."""
        named = {lawn: tuple(token.text for token in tokens_of(lawn)) for lawn in self.lawns}
        phrases: dict[tuple[str, ...], list[str]] = {}
        for lawn, words in named.items():
            for called in (words, *self._called_short(words, table)):
                phrases.setdefault(called, []).append(lawn)
        own: dict[str, list[Any]] = {}
        for words, lawns in phrases.items():
            exact = [lawn for lawn in lawns if named[lawn] == words]
            if words:
                own.setdefault(words[0], []).append([list(words), [f"lawn.{lawn}" for lawn in exact or lawns]])
        return own

    def _called_short(self, words: tuple[str, ...], table: Mapping[str, Any]) -> list[tuple[str, ...]]:
        """What a lawn is called in passing: its name without number and street, without the street, or by who owns it."""
        if "," in words:
            owner, part = words[:1], words[words.index(",") + 1 :]
            return [(*owner, *part), owner] if words[1] == "," and self._is_a_name(owner[0], table) else []
        if len(words) < 2:
            return []
        if words[1].isdigit() and len(words) > 2 and self._is_a_name(words[0], table):  # smith 5 maple ave
            return [words[:1], words[1:], *self._called_short(words[1:], table)]
        plain = [word for word in words if not word.isdigit() and word not in self.streets]
        without_number = tuple(word for word in words if not word.isdigit())
        on_a_street = without_number[-1:] and without_number[-1] in self.streets and len(without_number) > 1
        by_street = [without_number] if on_a_street and without_number != words else []
        if len(plain) != 1 or not self._is_a_name(plain[0], table):
            return by_street
        without_street = tuple(word for word in words if word not in self.streets)
        return [one for one in dict.fromkeys((tuple(plain), without_street, without_number)) if one != words]

    def _is_a_name(self, word: str, table: Mapping[str, Any]) -> bool:
        """True for a word that can call a lawn by itself, for it is none of ours and none that stands in any line."""
        own = len(word) > _SHORT_NAME and not table.get(word) and word not in self.small
        return own and (word in self.street_names or word not in self.ordinary)

    @cached_property
    def finder(self) -> Finder:
        """The index of all that is asked, opened when a line is first looked up in it."""
        from assistant.parsing.finding import Finder  # reads lines itself, with this vocabulary
        from assistant.parsing.indexing import index_of

        return Finder(self.knowledge, index_of(self))

    def naming(self, lawns: tuple[str, ...]) -> Vocabulary:
        """The same words with other lawns; the index, which holds no lawn, stays open."""
        other = Vocabulary(self.knowledge, lawns)
        if "finder" in self.__dict__:
            other.finder = self.finder
        return other

    def cues_with(self, term: str) -> list[tuple[str, dict[str, Any]]]:
        """The cues whose rarest word this is, each with its intent."""
        if term not in self._cues:
            places = self._by_cue.get(term, ())
            self._cues[term] = [(intent, self.intents[intent]["cues"][place]) for intent, place in places]
        return self._cues[term]

    def defines(self, text: str) -> bool:
        """True where a line may ask what a word means; the index need not be opened where it does not."""
        line = text.lower().strip()
        return any(line.startswith(before) and line.rstrip(" ?!.").endswith(after) for before, after in self.asked_as)

    def knows(self, word: str) -> bool:
        return word in self.known or word in self.small or word in _NEVER_CORRECTED or len(word) < 3

    def corrected(self, word: str) -> str:
        """The known word that `word` was meant for, or itself: at most one edit up to six letters, two beyond."""
        if self.knows(word) or "'" in word or word in self.ordinary or len(word) > 30:
            return word
        if word not in self._corrections:
            if len(self._corrections) > 10_000:
                self._corrections.clear()
            self._corrections[word] = self._nearest(word)
        return self._corrections[word]

    def _nearest(self, word: str) -> str:
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        edits = 1 if len(word) <= 6 else 2  # two slips in a short word make another word
        found = process.extract(word, self._long, scorer=OSA.distance, score_cutoff=edits, limit=12)
        found = [one for one in found if abs(len(one[0]) - len(word)) < 2]  # nobody leaves two letters out
        if len(word) <= _SHORT:  # one letter for another makes another short word: mill is no mile
            found = [one for one in found if len(one[0]) != len(word) or sorted(one[0]) == sorted(word)]
        letters = sorted(word)
        close = [
            (
                distance,
                choice[0] != word[0],
                sorted(choice) != letters,
                _undoubled(word) != _undoubled(choice),
                -len(choice),
                choice,
            )
            for choice, distance, _ in found
            if choice[0] == word[0] or (word[1:2] == choice[0] and word[0] == choice[1:2])
        ]
        return min(close)[-1] if close else word

    @cached_property
    def _long(self) -> list[str]:
        spelled = {word for word in numbers.WORDS | dates.WORDS if len(word) >= 5}
        return [word for word in sorted(self.known | self.small | spelled) if len(word) >= 3]


def _undoubled(word: str) -> str:
    return "".join(mark for place, mark in enumerate(word) if place == 0 or word[place - 1] != mark)
