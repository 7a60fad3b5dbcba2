"""How lines that stand in the knowledge would be read without themselves: `python -m tests.left_out`.

The lines of dev, asked, short and practice are dealt into five parts; each part is read by an index, and by what
was learned (tests/learning.py), from all that is asked but it. What that gives has stood within two points of the lines that are
held back, and unlike those it may be looked at line by line: `python -m tests.left_out wrong`. `python -m tests.left_out fit`
prints the weights of matching.py fitted on the same readings; those set by hand stay as they are. Needs `pip install -e .[learning]`.
"""

from __future__ import annotations

import sys
import tempfile
import zlib
from functools import cache
from pathlib import Path
from typing import Any

from assistant.dialogue import Session
from assistant.knowledge_base import Knowledge, load
from assistant.lawn.store import Store
from assistant.parsing import Vocabulary
from assistant.parsing.choosing import weighed
from assistant.parsing.matching import MOST, WEIGHTS
from assistant.parsing.reading import read
from tests.learning import learned
from tests.scoring import NOW, corpus, reliability, right, score, summary, wanted

PARTS = ("dev", "asked", "short", "practice")
FOLDS = 5
BY_HAND = {"again", "deed", "loose", "passed", "unworded", "told"}
BY_SUMS = {"fits"}  # fitted with the arithmetic too, whose lines name no question; without them it would turn about
_SHRINK = 0.02


def plain(text: Any) -> str:
    return " ".join(str(text).lower().replace("'", "").split()).strip(" ?.!")


def fold_of(text: Any) -> int:
    return zlib.crc32(plain(text).encode()) % FOLDS


@cache
def without(fold: int) -> Knowledge:
    """The knowledge without the lines of a fold, and what is learned of the rest."""
    left_out = {plain(entry["say"]) for part in PARTS for entry in corpus(part)}
    left_out = {text for text in left_out if fold_of(text) == fold}
    knowledge = load()
    asked = knowledge.section("asked")
    kept = {name: [ask for ask in asks if plain(ask) not in left_out] or asks[:1] for name, asks in asked.items()}
    knowledge._sections.held["asked"] = kept
    knowledge._sections.held["learned"] = learned(Vocabulary(knowledge))
    return knowledge


def scored(part: str):
    """Every line of a part with what became of it, each without itself."""
    made = []
    for fold in range(FOLDS):
        with tempfile.TemporaryDirectory() as home:
            session = Session(without(fold), Store(Path(home)), NOW, False)
            made += [score(entry, session.afresh()) for entry in corpus(part) if fold_of(entry["say"]) == fold]
    return made


def _serves(part: str, entry: dict[str, Any], intent: str, name: str) -> bool:
    if part == "practice":
        serving = [*wanted(entry), *entry.get("also", ())]
        return name.partition(".")[2] in serving or intent in serving
    return right(entry, intent)


def fitted() -> dict[str, float]:
    """The weights under which the right readings of all lines are the likeliest."""
    import numpy as np
    from scipy.optimize import minimize

    names, lines = list(WEIGHTS), []
    for fold in range(FOLDS):
        vocabulary = Vocabulary(without(fold))
        for part in PARTS:
            for entry in corpus(part):
                if fold_of(entry["say"]) == fold:
                    readings = weighed(read(str(entry["say"]), vocabulary, NOW), vocabulary)
                    table = [
                        [min(one.candidate.features.get(n, 0.0), MOST.get(n, 1e9)) for n in names] for one in readings
                    ]
                    serve = [_serves(part, entry, one.candidate.intent, one.entry) for one in readings]
                    lines.append((np.array(table), np.array(serve)))
    lines = [(table, serve) for table, serve in lines if serve.any()]
    start = np.array([WEIGHTS[name] for name in names])
    free = [n for n, name in enumerate(names) if name not in BY_HAND | BY_SUMS]

    def loss(values):
        weights, whole, slope = start.copy(), 0.0, np.zeros(len(names))
        weights[free] = values
        for table, serve in lines:
            powers = np.exp(table @ weights - (table @ weights).max())
            shares = powers / powers.sum()
            serving = shares[serve].sum()
            whole -= np.log(serving + 1e-12)
            slope += table.T @ (shares - np.where(serve, shares, 0) / (serving + 1e-12))
        return whole + _SHRINK * (values**2).sum(), slope[free] + 2 * _SHRINK * values

    found = minimize(loss, start[free], jac=True, method="L-BFGS-B")
    return {
        name: round(float(start[n] if n not in free else found.x[free.index(n)]), 2) for n, name in enumerate(names)
    }


def main(what: str = "") -> None:
    if what == "fit":
        print(fitted())
        return
    for part in ("dev", "asked"):
        lines = scored(part)
        print(part, {name: round(share, 3) for name, share in summary(lines).items()}, reliability(lines)[:3])
        for one in lines if what == "wrong" else ():
            if not one.intent or one.wrong or one.wrong_slots:
                print(
                    f"  {' or '.join(wanted(one.entry))} -> {one.found} {one.status} {one.wrong_slots}: {one.entry['say']}"
                )


if __name__ == "__main__":
    main(*sys.argv[1:2])
