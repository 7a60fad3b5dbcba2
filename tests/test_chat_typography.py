"""An answer as a job ticket: columns, verdicts, the tape, marks in the margin; at 60 columns as well as at 80."""

import re
from datetime import date, datetime
from xml.etree import ElementTree

import pytest

from assistant.answer import ANSWERED, ASKS, RECORDED, Answer, Ask, Figure, Source
from assistant.dialogue import Session, turn
from assistant.interfaces.actions import ACTIONS
from assistant.interfaces.ink import ALARM, QUIET, STRONG, Paper, paragraph, wide, wrapped
from assistant.interfaces.printing import safe
from assistant.interfaces.talk import Talk, keys_rows
from assistant.interfaces.tape import tape
from assistant.interfaces.typography import set_answer
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.terms import Now
from tests.asking import ligule
from tests.pictures import FOLDER, SCENES, taken

TODAY = date(2026, 9, 20)
KINDS = [
    "how much starter for 4,200 square feet",
    "25 lb bag of 18-24-12 on 5000 sq ft, how much N",
    "how much tall fescue seed for 3,100 sq ft",
    "can I spray 2,4-D today, 88 and wind 6",
    "show me the plan",
    "what if I seed on the 12th",
    "what's due this week",
    "the seed did not take",
    "1",
    "who won the game",
    "how many times a day should I sprinkle the grass seed",
    "why",
    "tell me about tall fescue",
    "help",
    "the back is -5 sq ft",
]


def plain(rows):
    return ["".join(words for _, words in row) for row in rows]


def inks(rows, words):
    """The inks in which some words stand."""
    return {ink for row in rows for ink, said in row if words in said}


@pytest.fixture(scope="module")
def session(tmp_path_factory):
    home = tmp_path_factory.mktemp("home")
    told = "the back is 4,200 sq ft of tall fescue\nback seeded sep 5 with the light liquid program\n"
    ligule("chat", home=home, given=told)
    return Session(load(), Store(home), Now(datetime(2026, 9, 20)))


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_kind_of_answer_keeps_to_the_width_and_loses_no_word(session, width):
    for question in KINDS:
        for _, answer in turn(question, session):
            rows = plain(set_answer(answer, width, TODAY))
            assert max(map(wide, rows)) < width
            shown = " ".join(" ".join(rows).split())
            for words in (answer.headline, *answer.cautions, *answer.working, *answer.choices):
                assert " ".join(words.split()) in shown, (question, words)
            figures = set(re.findall(r"\d[\d,.]*", " ".join(answer.lines)))
            assert figures <= set(re.findall(r"\d[\d,.]*", shown)) | {
                one.rstrip(".,") for one in figures if one.rstrip(".,") in shown
            }


def test_figures_that_a_line_only_says_again_stand_in_columns():
    figures = (
        Figure("N", "N", 0.9, 0.9, "lb", "1000 sq_ft"), Figure("K2O", "K2O", 12.5, 12.5, "lb", "1000 sq_ft"),
        Figure("N in all", "N", 4.5, 4.5, "lb"), Figure("K2O in all", "K2O", 62.5, 62.5, "lb"),
    )  # fmt: skip
    lines = ("0.9 lb N and 12.5 lb K2O per 1,000 sq ft.", "4.5 lb N and 62.5 lb K2O in all.", "Water it in.")
    answer = Answer(ANSWERED, "0.9 lb of N", figures=figures, lines=lines, intent="feed.nutrients")
    assert plain(set_answer(answer, 80, TODAY)) == [
        "  0.9 lb of N",
        "",
        "  N     0.9 lb per 1,000 sq ft    4.5 lb in all",
        "  K2O  12.5 lb per 1,000 sq ft   62.5 lb in all",
        "",
        "  Water it in.",
    ]


def test_what_decides_stands_out_and_what_is_in_order_stands_back():
    lines = ("Temperature 88 °F, 3 °F over the limit of 85 °F: no.", "Wind 6 mph, within 3 to 8 mph: yes.")
    rows = set_answer(Answer(ANSWERED, "No, not today.", verdict="no", lines=lines, intent="today.spray"), 80, TODAY)
    assert plain(rows)[2:] == [
        "  no   Temperature 88 °F, 3 °F over the limit of 85 °F.",
        "  yes  Wind 6 mph, within 3 to 8 mph.",
    ]
    assert inks(rows, "no ") == {ALARM}
    assert inks(rows, "Wind") == {QUIET}


def test_sources_are_counted_and_named_on_request_only():
    sources = (Source("ksu", "Fall Lawn Seeding", "Kansas State University, Fall Lawn Seeding, 2023"),
               Source("from memory", "x", "from memory, to be confirmed"))  # fmt: skip
    shown = plain(set_answer(Answer(ANSWERED, "6 lb", sources=sources), 80, TODAY))
    assert shown[-1] == "  Says who (F2): 1 page in print; from memory, to be confirmed."
    assert not any("Kansas" in row for row in shown)


def test_marks_in_the_margin_say_what_a_row_is():
    asks = Ask("area", "How big is the area?", ("a yard", "an acre"))
    answer = Answer(RECORDED, "Begun.", cautions=("Call before you dig.",), changes=("Back lawn: begun",), asks=asks)
    rows = set_answer(answer, 80, TODAY)
    assert plain(rows) == [
        "  Begun.", "", "! Call before you dig.", "", "+ Back lawn: begun. Recorded.", "",
        "? How big is the area?", "  1  a yard", "  2  an acre",
    ]  # fmt: skip
    alone = set_answer(Answer(ASKS, "", asks=asks), 80, TODAY)
    assert plain(alone)[0] == "? How big is the area?"


def test_the_tape_lays_days_and_windows_where_they_are():
    steps = [
        Figure("seed", day=date(2026, 9, 5)), Figure("moist", day=date(2026, 9, 5), until=date(2026, 9, 25)),
        Figure("feed", day=date(2026, 9, 26)), Figure("spring check", day=date(2027, 3, 15)),
    ]  # fmt: skip
    assert plain(tape(steps, 60, TODAY, {"seed": "done"})) == [
        "                Sep 5         Sep 19",
        "                |''''''|''''''|''''''|",
        "  seed          x",
        "  moist         =====================",
        "  feed                               o",
        "  spring check  after it, Mar 15 2027",
        "                               ^ today, Sep 20",
    ]
    assert tape(steps[:3], 60, TODAY) == []


def test_a_step_that_is_dropped_is_no_bar_and_a_long_name_is_seen_to_be_cut():
    steps = [Figure(f"step {n} with a name that is longer than any", day=date(2026, 9, n)) for n in range(1, 6)]
    rows = plain(tape(steps, 60, TODAY, {steps[1].label: "dropped"}))
    assert rows[3].endswith("dropped")
    assert "..  " in rows[2]
    assert max(map(wide, rows)) < 60


def test_words_wider_than_their_letters_are_measured():
    assert wrapped("草坪 草坪 草坪", 9) == ["草坪 草坪", "草坪"]
    assert wrapped("x" * 25, 10) == ["x" * 10, "x" * 10, "x" * 5]


def test_painting_is_safe_whatever_the_words():
    row = paragraph("a \x1b[31m b \x07 c \u202e d ½ °F", 60, STRONG)[0]
    assert Paper().painted(row) == "  \x1b[1ma  [31m b   c   d ½ °F\x1b[0m"
    assert Paper(unicode=False).painted(row).isascii()
    assert safe("1½ gal and ¾ in at 86 °F", unicode=False) == "1 1/2 gal and 3/4 in at 86 F"
    assert "31" not in Paper(colour=False).painted(((ALARM, "no"),))


def test_the_list_of_keys_and_the_readme_say_the_table():
    shown = plain(keys_rows(79))
    readme = (FOLDER.parent / "README.md").read_text(encoding="utf-8")
    for one in ACTIONS:
        assert any(one.typed in row and one.key.upper() in row for row in shown)
        assert f"| {one.key.upper()} | `{one.typed}` | {one.words} |" in readme


def test_the_readme_shows_pictures_off_the_screen_as_it_is_now():
    readme = (FOLDER.parent / "README.md").read_text(encoding="utf-8")
    for name in SCENES:
        assert f"transcripts_demo/{name}.svg" in readme
        drawn = "".join(ElementTree.parse(FOLDER / f"{name}.svg").getroot().itertext())
        now = "".join(ElementTree.fromstring(taken(SCENES[name], name)).itertext())
        assert drawn == now, "the chat has changed: python -m tests.pictures, and look at them"


def test_a_line_that_is_stopped_is_still_kept_whole(tmp_path, capsys):
    home = tmp_path / "home"
    ligule("chat", home=home, given="the back is 4,200 sq ft of tall fescue\nthe front is 3,000 sq ft of tall fescue\n")
    session = Session(load(), Store(home), Now(datetime(2026, 9, 20)))
    sitting = Talk(lambda: (session, []), session.lawns, lambda: session.now, home, Paper())
    sitting._load()
    sitting._stopped = True  # Ctrl-C came while the first of the two was being printed
    sitting._answer("mowed the back and the front", alone=False)
    assert [event.lawn for event in Store(home).events() if event.kind == "mowed"] == ["back lawn", "front lawn"]
    assert "mowed" not in capsys.readouterr().out
