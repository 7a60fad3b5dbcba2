"""Printed answers of bulletins and handbooks, asked in plain words through `ask --json`; the source stands beside each."""

from pathlib import Path

import pytest
import yaml

from tests.asking import ask_all, matches

EXAMPLES = [
    example for path in sorted(Path(__file__).parent.glob("*.yaml")) for example in yaml.safe_load(path.read_text())
]


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    questions = [" ".join(example["ask"].split()) for example in EXAMPLES]
    return dict(zip(questions, ask_all(questions, tmp_path_factory.mktemp("home")), strict=True))


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["ask"][:60])
def test_printed_answer(example, answers):
    assert example["source"]
    answer = answers[" ".join(example["ask"].split())]
    tolerance = example.get("tol", 0.005)
    assert answer["status"] == "answered", answer["text"]
    assert matches(answer["figures"][0], example["first"], tolerance), answer["figures"]
    for want in example.get("also", ()):
        assert any(matches(figure, want, tolerance) for figure in answer["figures"]), (want, answer["figures"])
