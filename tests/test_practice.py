"""The practice: questions of people who know nothing lead to the right entry; a trouble is told by its questions.

`python -m tests.test_practice` prints how many are answered right, offered among three, or answered wrongly.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
import yaml

from assistant.answer import to_text
from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.parsing import Vocabulary, parse_line
from assistant.skills.diagnosis import best_question, known, standings
from assistant.terms import Now

CORPUS = Path(__file__).parent / "corpus"
NOW = Now(datetime(2026, 9, 5), False)
KNOWLEDGE = load()
VOCABULARY = Vocabulary(KNOWLEDGE)
TROUBLES = KNOWLEDGE.section("troubles")


def rows(name):
    return yaml.safe_load((CORPUS / f"{name}.yaml").read_text(encoding="utf-8"))


def counted(name):
    """right, offered, wrong, silent; and of what is none of ours how many were answered."""
    right = offered = wrong = silent = answered = outside = 0
    for row in rows(name):
        parse = parse_line(row["say"], VOCABULARY, NOW)[0]
        if row["is"] == "out_of_scope":
            outside += 1
            answered += parse.intent != "out_of_scope"
            continue
        good = {f"practices.{entry}" for entry in (row["is"], *row.get("also", ()))}
        if parse.intent == "out_of_scope":
            offered += bool(good & set(parse.found))
            silent += not good & set(parse.found)
        elif parse.intent in row.get("also", ()) or (
            parse.intent == "practice.answer" and parse.slots["entry"].value in good
        ):
            right += 1
        else:
            wrong += 1
    return right, offered, wrong, silent, answered, outside


@pytest.mark.parametrize(
    ("name", "led", "wrong_at_most", "answered_at_most"),
    [("practice", 0.75, 0.12, 0.06), ("practice_held_back", 0.75, 0.16, 0.15)],
)
def test_people_who_know_nothing_are_led_to_the_entry(name, led, wrong_at_most, answered_at_most):
    right, offered, wrong, silent, answered, outside = counted(name)
    asked = right + offered + wrong + silent
    assert (right + offered) / asked >= led
    assert wrong / asked <= wrong_at_most
    assert answered / outside <= answered_at_most


@pytest.mark.parametrize("case", rows("trouble_cases"), ids=lambda case: f"{case['complaint']}-{case['cause']}")
def test_a_trouble_is_told_by_its_answers(case):
    first, *others = standings(TROUBLES["causes"], case["complaint"], case["answers"])
    assert first.cause == case["cause"]
    assert not first.ruled_out_by
    assert all(one.ruled_out_by or one.score < first.score for one in others)


def test_asking_leads_to_the_cause():
    """Typical answers to the questions that are asked, nothing known beforehand: most causes come out within six."""
    found = asked_in_all = pairs = 0
    for complaint in TROUBLES["complaints"]:
        for key, cause in TROUBLES["causes"].items():
            if complaint not in cause["shows"]:
                continue
            pairs += 1
            answers: dict[str, str] = {}
            for _ in range(8):
                left = [one for one in standings(TROUBLES["causes"], complaint, answers) if not one.ruled_out_by]
                question = (
                    ""
                    if known(left, len(answers))
                    else best_question(TROUBLES["causes"], TROUBLES["questions"], left, answers)
                )
                if not question:
                    break
                fits = cause["fits"].get(question, {})
                answers[question] = max(fits, key=fits.get) if fits else "unknown"
            found += left[0].cause == key
            asked_in_all += len(answers)
    assert found / pairs >= 0.85
    assert asked_in_all / pairs <= 6


def test_a_diagnosis_is_a_conversation(tmp_path):
    session = Session(KNOWLEDGE, Store(tmp_path), NOW, True, "back lawn")
    said = []
    for line in ("the seed did not take", "don't know", "1", "2"):
        said += [to_text(answer) for _, answer in turn(line, session)]
    assert all("Which one" not in text for text in said)
    assert "?" in said[0]
    assert said[1] != said[0]  # another question, not the same one again


def test_a_word_is_explained_and_another_is_not():
    assert parse_line("what does pls mean", VOCABULARY, NOW)[0].slots["entry"].value == "glossary.pls"
    assert parse_line("what does love mean", VOCABULARY, NOW)[0].intent == "out_of_scope"


def test_every_entry_prints(tmp_path):
    for key in KNOWLEDGE.section("practices"):
        session = Session(KNOWLEDGE, Store(tmp_path), NOW, False)
        for metric in ("", " in metric"):
            title = KNOWLEDGE.entry(f"practices.{key}.title")
            (_, answer), *_ = turn(f"{title}", session) if not metric else turn("in metric", session)
            text = to_text(answer)
            assert "{" not in text, text


if __name__ == "__main__":
    for part in ("practice", "practice_held_back"):
        right, offered, wrong, silent, answered, outside = counted(part)
        asked = right + offered + wrong + silent
        print(
            f"{part}: {asked} asked, {right} answered right, {offered} offered among three, {wrong} wrong, {silent} not found; "
            f"{answered} of {outside} from outside answered"
        )
