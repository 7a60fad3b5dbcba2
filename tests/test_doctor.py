"""The doctor's report: every line in plain words, and every sourced figure of the knowledge base in its count."""

import os
import re

import pytest

from assistant.interfaces.doctor import Terminal, sources_in, terminal_words
from assistant.knowledge_base import load
from tests.asking import ligule


@pytest.fixture(scope="module")
def lines(tmp_path_factory):
    home = tmp_path_factory.mktemp("home")
    (home / "knowledge").mkdir()
    (home / "knowledge" / "glossary.yaml").write_text("a: [1, 2\nb: }\n")
    ligule("ask", "--lawn", "back", "it is 3,100 sq ft", home=home)
    return ligule("doctor", home=home, env={**os.environ, "LC_ALL": "C"}).stdout.decode().splitlines()


def test_it_says_versions_folders_and_what_the_terminal_can_do(lines):
    said = "\n".join(lines)
    for words in (
        "Python 3.",
        "textual ",
        "prompt_toolkit ",
        "SQLite 3.",
        "1 lawn, 1 event; whole; no copy yet",
        "checked: no fault",
        "Cache: ",
    ):
        assert words in said
    assert "Terminal: none that can be drawn on" in said
    assert "not installed" not in said


def test_a_broken_file_of_the_user_is_counted_and_told_by_its_line(lines):
    counted = next(n for n, line in enumerate(lines) if line.startswith("Your own files"))
    assert "1 file in" in lines[counted]
    assert "0 in use, 1 left out" in lines[counted]
    assert "glossary.yaml:" in lines[counted + 1]


def test_every_section_with_figures_is_in_the_table(lines):
    knowledge = load(None)
    tables = int(re.search(r"^tables +([\d,]+)", "\n".join(lines), re.MULTILINE).group(1).replace(",", ""))
    elsewhere = {"practices", "species", "ingredients", "troubles", "states", "programs"}  # have a row of their own
    compiled = {"language", "intents", "finding", "ordinary", "learned", "sources", "glossary"}
    left = [name for name in knowledge.sections() if name not in elsewhere | compiled]
    assert {"walk", "products", "thresholds"} <= set(left)
    assert tables == sum(len(list(sources_in(knowledge.section(name)))) for name in left)


@pytest.mark.parametrize(
    ("terminal", "said"),
    [
        (Terminal("xterm", True, 80, 24, True, True), "Terminal: xterm, 80 columns by 24 rows, colours, all letters."),
        (
            Terminal("vt100", True, 60, 20, False, False),
            "no colours (NO_COLOR is set), ASCII letters only; a larger window",
        ),
        (
            Terminal("", False, 0, 0, True, False),
            "none that can be drawn on, ASCII letters only; chat runs in plain lines",
        ),
    ],
)
def test_what_the_terminal_can_do_is_said_in_words(terminal, said):
    assert said in terminal_words(terminal)
