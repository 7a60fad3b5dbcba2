"""What the signs of all asks say for each entry and against it, learned: `python -m tests.learning` writes knowledge/learned.txt.

A linear support vector machine for each entry, its own asks against all the others, by scikit-learn (`pip install -e .[learning]`).
Only what runs needs no library: the weights are rounded to tenths, and the small ones are left out. Nothing breaks where asks
have changed since; an entry that nothing was learned of is found by the sum of its asks.
"""

from __future__ import annotations

from assistant.knowledge_base import load
from assistant.parsing import Vocabulary
from assistant.parsing.indexing import TENTHS, weighed_asks
from knowledge import FOLDER

FILE = FOLDER / "learned.txt"
_HEAD = "# Made by `python -m tests.learning` from all that is asked; not written by hand. Entry, where it begins, sign:tenths ...\n"
_HARD = 0.3  # how much an ask on the wrong side counts (C); of 0.1, 0.3 and 1 the best on lines left out
_SMALL = 0.1  # weights below this are left out


def learned(vocabulary: Vocabulary) -> str:
    """The text of the file."""
    import numpy as np
    from sklearn.feature_extraction import DictVectorizer
    from sklearn.preprocessing import normalize
    from sklearn.svm import LinearSVC

    asks, weights, *_ = weighed_asks(vocabulary)
    entries = list(vocabulary.knowledge.section("asked"))
    rows = [(name, signs) for name, told in zip(entries, asks, strict=True) for signs in told]
    columns = DictVectorizer()
    table = normalize(columns.fit_transform([{sign: weights[sign] for sign in signs} for _, signs in rows]))
    machine = LinearSVC(C=_HARD, random_state=0).fit(table, [name for name, _ in rows])
    signs = columns.get_feature_names_out()
    lines = []
    for name, row, bias in zip(machine.classes_, machine.coef_, machine.intercept_, strict=True):
        told = [f"{signs[n]}:{round(row[n] * TENTHS)}" for n in np.flatnonzero(np.abs(row) >= _SMALL)]
        lines.append(" ".join([str(name), str(round(bias * TENTHS)), *told]))
    return _HEAD + "\n".join(lines) + "\n"


def main() -> None:
    text = learned(Vocabulary(load()))
    FILE.write_text(text, encoding="utf-8")
    print(f"{FILE.name}: {len(text.splitlines()) - 1} entries, {text.count(':')} weights, {len(text) // 1024} KiB")


if __name__ == "__main__":
    main()
