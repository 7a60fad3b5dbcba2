"""What other programs rely on: exit codes, the JSON object, stdout and stderr, and sentences instead of tracebacks."""

import json
import os
import re

import pytest

from tests.asking import REFERENCE, ask_all, ligule

KEYS = ["question", "status", "topic", "intent", "confidence", "understood", "headline", "verdict", "figures", "working", "inputs", "cautions",
        "sources", "asks", "choices", "changes", "text"]  # fmt: skip
STATUSES = {"answered", "recorded", "asks", "unsure", "out_of_scope", "refused"}
TOPICS = {
    "area",
    "seed",
    "feed",
    "spray",
    "water",
    "soil",
    "mow",
    "timing",
    "today",
    "weeds",
    "trouble",
    "plan",
    "cost",
    "help",
    "other",
}


def text(run):
    return run.stdout.decode(), run.stderr.decode()


@pytest.mark.parametrize(
    ("question", "code", "said"),
    [
        ("how much starter for 4,200 square feet", 0, "50.4 fl oz of starter"),
        ("4.2k @ 12oz/k", 0, "50.4 fl oz"),
        ("can I spray today at 86°F", 1, "What is in the tank"),
        ("60x80 lot minus 30x40 house and 12x50 drive, how much tall fescue seed for overseeding", 0, "9 to 12 lb"),
        ("25 lb bag of 18-24-12 on 5000 sq ft, how much N", 0, "0.9 lb per 1,000 sq ft of N, 4.5 lb in all"),
        ("12 lb of 18-24-12 on 4,200 sq ft, how much N is that a thousand", 0, "0.514 lb per 1,000 sq ft of N"),
        ("how mch seeed for .25 acre kentcky bluegras", 0, '"kentcky" as kentucky'),
        ("what do I do next", 1, "When did you seed"),
        ("how much for -50 sq ft", 1, "-50 sq ft cannot be right"),
        ("can I spray at 900F", 1, "900 °F cannot be right"),
        ("seeded on feb 30", 1, "no day 2/30"),
        ("who won the game", 1, "I can't answer that"),
        ("", 1, "The line is empty"),
        ("how much 10-10-10 for 40 lb of nitrogen per 1000 on 5k", 1, "40 lb per 1,000 sq ft of N cannot be right"),
    ],
)
def test_a_line_as_typed(tmp_path, question, code, said):
    run = ligule("ask", question, home=tmp_path / "home")
    out, err = text(run)
    assert said in out
    assert run.returncode == code
    assert err == ""
    assert not (tmp_path / "home").exists()  # nothing is stored


def test_words_need_no_quotes(tmp_path):
    run = ligule("ask", "how", "much", "starter", "for", "4,200", "sq", "ft", home=tmp_path)
    assert "50.4 fl oz" in text(run)[0]


def test_the_object_has_the_agreed_form(tmp_path):
    questions = [
        "how much starter for 4,200 square feet",
        "can i spray today at 86",
        "what do i do next",
        "",
        "who won the game",
        "45x70",
        "in metric",
        "next saturday 10-20-10",
    ]
    for question, answer in zip(questions, ask_all(questions, tmp_path), strict=True):
        assert list(answer) == KEYS
        assert answer["question"] == question
        assert answer["status"] in STATUSES
        assert answer["topic"] in TOPICS
        assert answer["verdict"] in (None, "yes", "care", "no")
        for figure in answer["figures"]:
            if "unit" in figure and figure["unit"] not in ("", "USD"):
                REFERENCE.parse_units(figure["unit"])
            if "per" in figure:
                REFERENCE.parse_expression(figure["per"])


def test_the_example_of_the_design(tmp_path):
    answer = ask_all(["how much starter for 4,200 square feet"], tmp_path)[0]
    assert answer["headline"] == "50.4 fl oz of starter"
    assert answer["figures"][0] == {"label": "product", "of": "product", "value": 50.4, "unit": "floz"}
    assert answer["working"] == ["4,200 sq ft x 12 fl oz per 1,000 sq ft = 50.4 fl oz"]
    assert answer["understood"]["amounts"] == [
        {"text": "4,200 square feet", "kind": "area", "value": 4200, "unit": "sq_ft"}
    ]
    assert answer["understood"]["names"] == [{"text": "starter", "id": "product.starter"}]


def test_an_open_ounce_shows_both_units(tmp_path):
    amounts = ask_all(["4.2k @ 12oz/k"], tmp_path)[0]["understood"]["amounts"]
    assert amounts[1]["unit"] == ["floz", "oz"]
    assert amounts[1]["per"] == "1000 sq_ft"


def test_noise_gets_an_object_a_line(tmp_path):
    noise = (
        os.urandom(3000).replace(b"\n", b"").replace(b"\r", b"")
        + b"\n\n"
        + b"9" * 100_000
        + b"\n"
        + "⛳🌱½acre\n".encode()
    )
    run = ligule("ask", "--json", "-", home=tmp_path, given=noise)
    answers = [json.loads(line) for line in run.stdout.decode("ascii").splitlines()]
    assert len(answers) == 4
    assert all(answer["status"] in ("out_of_scope", "refused", "answered") for answer in answers)
    assert answers[2]["status"] == "refused"
    assert run.stderr == b""


def test_a_100_kb_line_gets_one_sentence(tmp_path):
    run = ligule("ask", "grass " * 17_000, home=tmp_path)
    assert run.returncode == 1
    assert text(run)[0].count("\n") == 1
    assert "characters and I read up to 4,000" in text(run)[0]


def test_broken_yaml_is_named_and_left_out(tmp_path):
    own = tmp_path / "knowledge"
    own.mkdir()
    (own / "glossary.yaml").write_text("a: [1, 2\nb: }\n")
    run = ligule("ask", "4.2k @ 12oz/k", home=tmp_path)
    out, err = text(run)
    assert "50.4 fl oz" in out
    assert run.returncode == 0
    assert "glossary.yaml:" in err
    assert err.count("\n") == 1
    assert "Traceback" not in err
    assert list(tmp_path.iterdir()) == [own]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["ask", "--colour", "hello"], "no option --colour"),
        (["wander"], "wander"),
        (["ask", "--today", "2026-02-30", "help"], "no day of the calendar"),
    ],
)
def test_a_wrong_call_gets_one_sentence(tmp_path, arguments, said):
    run = ligule(*arguments, home=tmp_path)
    assert run.returncode == 2
    assert text(run)[0] == ""
    assert said in text(run)[1]
    assert text(run)[1].count("\n") == 1


def test_a_home_that_is_a_file(tmp_path):
    (tmp_path / "file").write_text("x")
    run = ligule("ask", "help", home=tmp_path / "file")
    assert run.returncode == 2
    assert "is a file" in text(run)[1]


def test_a_damaged_record_is_said_in_one_sentence(tmp_path):
    (tmp_path / "lawns.sqlite").write_bytes(b"nonsense" * 1000)
    run = ligule("ask", "--lawn", "back", "the back is 3,100 sq ft", home=tmp_path)
    assert run.returncode == 2
    assert text(run)[1].count("\n") == 1
    assert "lawns.sqlite" in text(run)[1]


def test_only_a_lawn_keeps_what_is_told(tmp_path):
    run = ligule("ask", "the back is 3,100 sq ft of tall fescue", home=tmp_path)
    assert "Not kept" in text(run)[0]
    assert not (tmp_path / "lawns.sqlite").exists()
    run = ligule("ask", "--lawn", "back lawn", "it is the back, 3,100 sq ft of tall fescue", home=tmp_path)
    assert "Recorded" in text(run)[0]
    assert run.returncode == 0
    again = ligule("ask", "--lawn", "back lawn", "how much seed to overseed", home=tmp_path)
    assert "9.3 to 12.4 lb" in text(again)[0]


def test_a_note_is_kept_as_said(tmp_path):
    run = ligule("ask", "note: =sprinkler head by the walk is broken", home=tmp_path)
    assert run.returncode == 0
    rows = text(ligule("records", home=tmp_path))[0].splitlines()
    assert len(rows) == 2
    assert "'=sprinkler head by the walk is broken" in rows[1]


def test_same_words_same_day_same_answer(tmp_path):
    first = ligule("ask", "--json", "how much starter for 4,200 square feet", home=tmp_path).stdout
    assert all(
        ligule("ask", "--json", "how much starter for 4,200 square feet", home=tmp_path).stdout == first
        for _ in range(2)
    )


def test_ascii_terminals_get_ascii(tmp_path):
    run = ligule("ask", "can I spray today at 86F", home=tmp_path, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    run.stdout.decode("ascii")
    assert b"86 F" in run.stdout


def test_metric_questions_get_metric_answers(tmp_path):
    answers = ask_all(
        [
            "how much starter for 400 m2",
            "how much starter for 4200 sq ft in metric",
            "how much tall fescue seed for 400 square metres new lawn",
        ],
        tmp_path,
    )
    assert answers[0]["figures"][0]["unit"] == "mL"
    assert answers[1]["figures"][0]["value"] == pytest.approx(50.4 * 29.5735, rel=1e-4)
    assert answers[2]["figures"][0]["unit"] == "kg"


def test_what_is_known_already_is_said_to_be(tmp_path):
    run = ligule("chat", home=tmp_path, given="the back is 4,200 sq ft\nthe back is 4,200 sq ft\n")
    assert run.stdout.decode().splitlines()[-1].endswith("Nothing new in that; what was told before stands.")


def test_a_lawn_by_its_name_alone_tells_what_is_on_record_and_records_nothing(tmp_path):
    run = ligule("chat", home=tmp_path, given="the back is 4,200 sq ft\nback\n")
    assert "said as" in run.stdout.decode().splitlines()[-1]


def test_why_after_undo_explains_what_still_stands(tmp_path):
    told = (
        "seeded today tall fescue 5k with the liquid program\nI was 5 days late with the second feed\nundo that\nwhy\n"
    )
    run = ligule("chat", home=tmp_path, given=told)
    explained = run.stdout.decode().partition("taken back. Recorded.")[2]
    assert "It rests on this" in explained
    assert "late" not in explained
    assert "moved" not in explained


def test_the_doctor_reports_the_coverage_of_the_knowledge(tmp_path):
    run = ligule("doctor", home=tmp_path)
    out = run.stdout.decode()
    assert run.returncode == 0
    share = int(re.search(r"^practice .*?(\d+)%", out, re.MULTILINE).group(1))
    entries = int(re.search(r"Practice: (\d+) entries", out).group(1))
    assert share >= 85
    assert entries >= 150
