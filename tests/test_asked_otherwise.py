"""The kinds of arithmetic in tests/published, in other people's words: answered rightly or not at all, never wrongly.

`tests/corpus/arithmetic.yaml` holds them. A question marked `silent` that comes to be answered loses its mark.
"""

from pathlib import Path

import pytest
import yaml

from tests.asking import ask_all, matches

EXAMPLES = yaml.safe_load((Path(__file__).parent / "corpus" / "arithmetic.yaml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    questions = [example["ask"] for example in EXAMPLES]
    return dict(zip(questions, ask_all(questions, tmp_path_factory.mktemp("home")), strict=True))


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["ask"][:60])
def test_question(example, answers):
    answer = answers[example["ask"]]
    answered = answer["status"] == "answered" and bool(answer["figures"])
    assert answered != example.get("silent", False), answer["text"]
    if answered:
        figures = answer["figures"] if example.get("beside") else answer["figures"][:1]
        assert any(matches(figure, example["first"], example.get("tol", 0.01)) for figure in figures), answer["text"]
