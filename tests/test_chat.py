"""The chat as a person meets it: a real pseudo-terminal, keys in, a screen out."""

import re
import stat
import subprocess
import sys

import pytest

from assistant.lawn.events import Event
from assistant.lawn.store import Store
from tests.asking import ligule
from tests.terminal import Terminal, keeps_to_permissions

STARTED = (
    "the back is 4,200 sq ft of tall fescue\nback seeded sep 5 with the light liquid program\n"
    "front is 45x70 kentucky bluegrass\n"
)
COLOURED = re.compile(rb"\x1b\[(?:[\d;]*;)?(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|[34]8)(?:;[\d;]*)?m")


@pytest.fixture
def at(tmp_path):
    """Starts ligule on a terminal; whatever runs at the end is ended."""
    running = []

    def start(*arguments, **options):
        running.append(Terminal(options.pop("home", tmp_path / "home"), *arguments, **options))
        return running[-1]

    yield start
    for terminal in running:
        terminal.close()


@pytest.fixture
def home(tmp_path):
    """A data folder with two lawns, one of them in its program."""
    ligule("chat", home=tmp_path / "home", given=STARTED)
    return tmp_path / "home"


def test_the_first_start_says_what_this_is_and_asks(at, tmp_path):
    chat = at()
    chat.until(
        "I do the sums and keep the dates of seeding a lawn. What are you at?", "no lawn on record yet", "F1 keys"
    )
    chat.type("how much starter for 4,200 square feet", "enter")
    chat.until("50.4 fl oz of starter", "4,200 sq ft x 12 fl oz per 1,000 sq ft = 50.4 fl oz", "Says who")
    assert "> how much starter for 4,200 square feet" in chat.text
    chat.type("ctrl-d")
    assert chat.ended() == 0
    assert not (tmp_path / "home" / "lawns.sqlite").exists()


def test_later_starts_say_what_is_due_or_nothing(at, home):
    chat = at(home=home)
    chat.until("back lawn: first feed, 15 days late", "2 lawns  |  next: back lawn, first feed, Sep 5, 15 days late")
    assert "What are you at" not in chat.text
    chat.type("put the first feed down on the back on sep 5", "enter")
    chat.until("Recorded", "next: second feed, Sep 26")
    chat.type("quit", "enter")
    assert chat.ended() == 0
    again = at(home=home)
    again.until("next: back lawn, second feed, Sep 26")
    assert "late" not in again.text
    assert "due" not in again.text


def test_what_tab_offers_is_described_and_enter_takes_none_of_it(at, home):
    chat = at(home=home)
    chat.until("next:")
    chat.type("what is ", "t", "tab")
    chat.until("tall fescue", "cool-season grass")
    chat.type("enter")
    chat.until("> what is t\n")
    chat.type("seed for ba", "tab")
    chat.until("lawn, 4,200 sq ft, tall fescue")
    chat.type("ctrl-c", "how much seed for 500 sq", "tab")
    chat.until("sq ft", "area, square feet")
    chat.type("ctrl-c", "mow", "tab")
    chat.until("when can i mow the new grass")
    chat.type("ctrl-c", "tall fe", "tab")
    chat.until("> tall fescue")


def test_the_grey_words_are_taken_with_right_and_up_is_history(at, home):
    first = at(home=home)
    first.until("next:")
    first.type("round lawn 40 ft across", "enter")
    first.until("1,257 sq ft")
    first.type("ctrl-d")
    first.ended()
    kept = home / "asked.jsonl"
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    chat = at(home=home)
    chat.until("next:")
    chat.type("round")
    chat.until("> round lawn 40 ft across")  # grey, from history
    assert re.search(rb"\x1b\[[\d;]*2m lawn 40 ft across", chat.seen)
    chat.type("enter")
    chat.until("> round\n", "? How far is it across?")
    chat.type("ctrl-c", "round")
    chat.until("\n> round lawn 40 ft across")
    chat.type("right", "enter")
    chat.until("1,257 sq ft")
    chat.type("up", "up", "up")
    chat.until("\n> round\n")


def test_history_is_looked_through_and_kept_apart_by_lawn(at, home):
    chat = at(home=home)
    chat.until("next:")
    chat.type("how much seed to overseed the front", "enter")
    chat.until("front lawn  |")
    chat.type("ctrl-d")
    chat.ended()
    chat = at("--lawn", "front", home=home)
    chat.until("front lawn  |")
    chat.type("ctrl-r", "oversee")
    chat.until("asked before: oversee", "> how much seed to overseed the front")
    chat.type("enter", "enter")
    chat.until("lb of Kentucky bluegrass seed")
    chat.type("what is a carrier", "enter")
    chat.until("What brings the active part")
    chat.type("ctrl-d")
    chat.ended()
    chat = at("--lawn", "front", home=home)
    chat.until("front lawn  |")
    chat.type("up")
    chat.until("> what is a carrier")
    chat.type("ctrl-c", "ctrl-d")
    chat.ended()
    chat = at("--lawn", "back", home=home)
    chat.until("back lawn  |")
    chat.type("up")
    chat.until("> how much seed to overseed the front")  # said before the front was in hand
    chat.type("ctrl-c", "ctrl-r", "carrier")
    chat.until("asked before: carrier")
    assert "what is a carrier" not in chat.text


def test_fifty_pasted_lines_are_answered_in_order(at, tmp_path):
    chat = at(rows=50)
    chat.until("What are you at")
    chat.paste("\n".join(f"{n} x 100 ft" for n in range(11, 61)))
    chat.until("60 x 100 ft", "50 lines: Enter asks them in order")
    chat.type("enter")
    chat.until("6,000 sq ft", scrolled=True)
    said = re.findall(r"^> (\d+) x 100 ft$", chat.scrolled, re.MULTILINE)
    assert said == [str(n) for n in range(11, 61)]
    answers = re.findall(r"^  ([\d,]+) sq ft$", chat.scrolled, re.MULTILINE)
    assert answers == [f"{n * 100:,}" for n in range(11, 61)]
    assert len((tmp_path / "home" / "asked.jsonl").read_text().splitlines()) == 50


def test_ctrl_c_drops_the_line_and_loses_nothing(at, home):
    chat = at(home=home)
    chat.until("next:")
    chat.type("the back is 9,999 sq ft")
    chat.until("> the back is 9,999 sq ft")
    chat.type("ctrl-c")
    chat.gone("9,999")
    chat.type("up")
    chat.until("> the back is 9,999 sq ft")
    chat.type("ctrl-c", "how big is the back", "enter")
    chat.until("4,200 sq ft")
    assert len(Store(home).events("back lawn")) == 2 + 1  # what was told at the start, no more


def test_ctrl_c_stops_an_answer_and_what_it_recorded_stands(at, home):
    chat = at(home=home, rows=14)
    chat.until("next:")
    chat.type("start the front on sep 25 with the granular program", "enter")
    chat.until("more rows: space or Enter goes on, q stops")
    assert any(event.kind == "started" for event in Store(home).events("front lawn"))
    chat.type("ctrl-c")
    chat.gone("more rows")
    chat.type("f5")
    chat.until("more rows")
    chat.type(" ", "enter")
    chat.until("spring check, coming")
    chat.type("ctrl-d")
    assert chat.ended() == 0


def test_ctrl_c_in_the_middle_of_a_paste_keeps_the_rest(at):
    chat = at()
    chat.until("What are you at")
    chat.paste("\n".join(f"{n} x 100 ft" for n in range(1000, 3000)))
    chat.until("2999 x 100 ft", "2000 lines")
    chat.type("enter")
    chat.until("> 1003 x 100 ft", scrolled=True)
    chat.type("ctrl-c")
    chat.until("lines were not asked; Up brings them back")
    chat.type("up")
    chat.until("2999 x 100 ft")
    chat.type("ctrl-c", "ctrl-d")
    assert chat.ended() == 0


def test_a_key_and_its_typed_form_do_the_same_and_leave_the_line_alone(at):
    chat = at(rows=40)
    chat.until("What are you at")
    chat.type("how much tall fescue seed for 3,100 sq ft", "enter", "half a line")
    chat.until("> half a line")
    chat.type("f2")
    chat.until("It rests on this", "Kansas State University, Fall Lawn Seeding Tips", "http", "\n> half a line")
    by_key = chat.text.partition("It rests on this")[2].partition("\n> ")[0]
    chat.type("ctrl-c", "says who", "enter")
    chat.until("> says who")
    chat.read(0.3)
    assert chat.text.rpartition("It rests on this")[2].partition("\n>")[0] == by_key
    chat.type("f1")
    chat.until("show me the plan", "Ctrl-C  drops the line")


def test_the_width_is_taken_anew_from_120_to_60_and_back(at, home):
    chat = at(home=home, columns=120)
    chat.until("F4 what's next  F1 keys")
    chat.type("half a line")
    chat.until("> half a line")
    chat.resize(60)
    chat.until("> half a line", "back lawn, first feed, Sep 5, 15 days late    F1 keys")
    chat.read(0.2)
    assert chat.text.count("half a line") == 1
    chat.type("ctrl-c", "show me the plan of the back", "enter")
    chat.until("more rows")
    assert max(len(line) for line in chat.text.splitlines()) < 60
    chat.type("q")
    chat.resize(120)
    chat.until("F4 what's next  F1 keys")
    chat.type("what is a carrier", "enter")
    chat.until("  Carrier: What brings the active part to the lawn: the water of a spray or the granule of")


@pytest.mark.parametrize("plain", [("dumb", ()), ("", ()), ("xterm", ("--plain",))])
def test_dumb_terminals_and_plain_get_lines_and_nothing_else(at, home, plain):
    term, arguments = plain
    chat = at(*arguments, home=home, TERM=term)
    chat.until("back lawn: first feed, 15 days late", "\n>")
    chat.type("4.2k @ 12oz/k", "enter")
    chat.until("50.4 fl oz of product")
    chat.type("quit", "enter")
    assert chat.ended() == 0
    assert b"\x1b" not in chat.seen


def test_no_colour_where_none_is_wanted(at):
    seen = {}
    for wanted in ("", "1"):
        chat = at(NO_COLOR=wanted)
        chat.until("What are you at")
        chat.type("can I spray 2,4-D today, 88 and wind 6", "enter")
        chat.until(
            "No, not today for 2,4-D.", "no   Temperature 88 °F, 3 °F over the limit", "! The product label", "Says who"
        )
        seen[wanted] = chat.seen
        chat.close()
    assert COLOURED.search(seen[""])
    assert not COLOURED.search(seen["1"])


@pytest.mark.parametrize("env", [{"PYTHONIOENCODING": "ascii"}, {"LANG": "C"}, {"LC_ALL": "POSIX"}])
def test_without_utf_8_everything_is_ascii(at, env):
    chat = at(**env)
    chat.until("What are you at")
    chat.type("can I spray 2,4-D today, 88 and wind 6", "enter")
    chat.until("Temperature 88 F, 3 F over the limit of 85 F")
    assert chat.seen.isascii()


def test_control_characters_move_nothing(at, tmp_path):
    evil = "Elm\x1b[2J\x1b[31m 12\x1b]0;taken\x07\x9b5A\u202e"
    facts = {"facts": {}}
    Store(tmp_path / "home").append([Event("told", evil, "a lawn \x1b[2J", "2026-09-01", "2026-09-01", facts)])
    chat = at()
    chat.until("Elm [2J [31m 12 ]0;taken")
    chat.type("tab")
    chat.until(" lawn")
    chat.type("ctrl-c", "which lawns are on record", "enter")
    chat.read(0.5)
    chat.paste("how much \x1b[31mstarter\x1b[2J for\x07 4,200\x1b[5A sq ft\x9b2J")
    chat.type("enter")
    chat.until("> how much [31mstarter [2J for 4,200 [5A sq ft 2J")
    chat.type("ctrl-d")
    chat.ended()
    for code in (b"\x1b[2J", b"\x1b[31m ", b"\x1b]0;taken", b"\x1b[5A", b"\xe2\x80\xae", b"\xc2\x9b"):
        assert code not in chat.seen, code


def test_a_damaged_record_is_one_sentence_and_no_traceback(at, tmp_path):
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "lawns.sqlite").write_bytes(b"nonsense" * 1000)
    chat = at()
    assert chat.ended() == 2
    assert "is damaged" in chat.text
    assert "Traceback" not in chat.text


@keeps_to_permissions
def test_a_record_that_cannot_be_written_ends_no_chat(at, home):
    chat = at(home=home)
    chat.until("next:")
    home.chmod(0o500)
    (home / "lawns.sqlite").chmod(0o400)
    try:
        chat.type("the back is 3,000 sq ft", "enter")
        chat.read(1.0)
        chat.type("4.2k @ 12oz/k", "enter")
        chat.until("50.4 fl oz of product")
        assert "Traceback" not in chat.scrolled
    finally:
        home.chmod(0o700)
        (home / "lawns.sqlite").chmod(0o600)


def test_the_first_prompt_loads_neither_pint_nor_the_skills():
    code = (
        "import sys; import assistant.cli, assistant.interfaces.talk;"
        "early = {'pint', 'yaml', 'assistant.units', 'assistant.skills', 'assistant.parsing'} & set(sys.modules);"
        "assert not early, early"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


def test_setting_an_answer_of_the_knowledge_base_loads_no_pint():
    code = (
        "import sys; from datetime import date; from assistant.answer import Answer, Figure;"
        "from assistant.interfaces.typography import set_answer;"
        "figures = (Figure('times', low=2, high=3), Figure('moist', low=1, high=1, unit='inch'));"
        "rows = set_answer(Answer('answered', '2 to 3 times', figures=figures, intent='practice.x'), 80, date(2026, 9, 20));"
        "assert rows; assert 'pint' not in sys.modules"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
