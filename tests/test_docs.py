"""What the documents show is so: every command and question in them is run, every picture is what the program draws."""

import importlib.util
import re
import subprocess
from datetime import date, timedelta
from pathlib import Path

import pytest

from assistant.answer import ANSWERED, ASKS, RECORDED
from assistant.dialogue import turn
from tests.asking import ligule
from tests.fresh import ROOT, readme_commands
from tests.pictures import SCENES
from tests.walk_pictures import PICTURES, picture
from tests.walking import chat, session

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FENCED = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
MARKED = re.compile(r"`([^`\n]+)`")
PROSE = FENCED.sub("", README)
TODAY = "2026-09-20"
TOLD = (
    "the front is 4,200 sq ft of tall fescue",
    "the back is 3,000 sq ft of tall fescue",
    "front seeded sep 5 with the light liquid program",
)
SUM = "how much starter at 12 fl oz per thousand for 4,200 sq ft"
# What must have been said before a line that leans on another.
BEFORE = {
    "what about 5,000": [SUM],
    "make it 14": [SUM],
    "how many jugs is that": [SUM],
    "in metric": [SUM],
    "shorter": [SUM],
    "says who": [SUM],
    "and cost?": ["how much tall fescue seed for 4,200 sq ft at $4 a pound"],
    "back to the seed": ["how much tall fescue seed for 4,200 sq ft", SUM],
    "never mind": ["how much seed do i need"],
    "same for the back": ["how much starter for the front"],
}
# What is answered by a question of its own: what is in the tank, what is seen, how big a jug is, what the seed costs.
ASKED_BACK = {
    "which hours can I spray today",
    "the seed did not take",
    "how many jugs is that",
    "and cost?",
}
MEANS = (30, 33, 43, 54, 64, 73, 78, 76, 68, 56, 45, 34)  # of the months, in °F
DAYS = [date(2010, 1, 1) + timedelta(days=n) for n in range(16 * 365)]
STATION = "DATE,TMAX,TMIN,PRCP\n" + "".join(
    f"{day},{MEANS[day.month - 1] + 12},{MEANS[day.month - 1] - 12},0.1\n" for day in DAYS
)


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    made = tmp_path_factory.mktemp("home")
    chat(made, "2026-09-05", *TOLD, lawn="")
    (made / "station.csv").write_text(STATION)
    assert ligule("weather", "add", str(made / "station.csv"), home=made).returncode == 0
    return made


def quoted(text):
    """What a document says that one may type: in quotes, in lower case."""
    return [" ".join(line.split()) for line in re.findall(r'"([a-z][^"]+)"', text)]


def test_the_blocks_of_the_readme_are_those_that_are_checked():
    assert [kind for kind, _ in FENCED.findall(README)] == ["sh", "text", "sh"]
    assert not FENCED.findall(DEVELOPERS)


def test_the_first_command_sets_up_and_answers(tmp_path):
    # `python -m tests.fresh` runs all of it, pip too; here the question is asked as it stands there
    set_up, _ = readme_commands()
    make, install, ask = set_up.split(" && ")
    assert (make, install) == ("python3 -m venv .venv", ".venv/bin/pip install -q .")
    question = re.fullmatch(r'\.venv/bin/ligule ask "(.+)"', ask).group(1)
    run = ligule("ask", question, home=tmp_path)
    assert run.returncode == 0
    assert "50.4 fl oz of starter" in run.stdout.decode()


def test_the_second_command_is_what_must_pass():
    _, tests = readme_commands()
    assert tests.endswith('.venv/bin/pip install -q ".[test]" && .venv/bin/python -m pytest')
    run = subprocess.run(["bash", "-n", ROOT / ".ci" / "run"], capture_output=True)
    assert run.returncode == 0, run.stderr


def test_the_picture_of_the_walk_is_what_it_draws():
    shown = next(block for kind, block in FENCED.findall(README) if kind == "text")
    assert shown.rstrip("\n") == picture()


def test_every_demo_is_played_or_drawn_again():
    kept = {path.name for path in (ROOT / "transcripts_demo").iterdir()}
    drawn = {f"{scene}.svg" for scene in (*SCENES, *PICTURES)}
    assert {name for name in kept if not name.endswith(".txt")} == drawn
    assert set(re.findall(r"\(transcripts_demo/(\w+\.svg)\)", README + DEVELOPERS)) == drawn


@pytest.mark.parametrize("name", PICTURES)
def test_the_pictures_of_the_walk_are_those_that_it_draws(name):
    assert (ROOT / "transcripts_demo" / f"{name}.svg").read_text(encoding="utf-8") == PICTURES[name]()


@pytest.mark.parametrize("line", quoted(PROSE) + [line for line in MARKED.findall(PROSE) if re.match(r"\d", line)])
def test_every_question_of_the_readme_is_answered(line, home):
    said = session(home, TODAY, "" if "the back" in line else "front lawn")
    for before in BEFORE.get(line.lower(), ()):
        list(turn(before, said))
    answers = [answer for _, answer in turn(line, said)]
    assert answers
    for answer in answers:
        assert answer.status in (ANSWERED, RECORDED, ASKS), (line, answer.status, answer.headline)
        assert answer.status != ASKS or line in ASKED_BACK, (line, answer.headline)


def commands(text):
    """The calls of ligule that a text names, without the folder of the installed program."""
    found = [line.removeprefix(".venv/bin/") for line in MARKED.findall(text)]
    return sorted({line for line in found if line.startswith("ligule ")})


NEEDS_A_SCREEN = {"ligule walk"}


@pytest.mark.parametrize("command", commands(README + DEVELOPERS))
def test_every_command_named_runs(command, home, tmp_path):
    words = [word.strip('"') for word in command.split()[1:]]
    if words[0] == "import":
        (tmp_path / "lawn.yaml").write_bytes(ligule("export", "--lawn", "back", home=home).stdout)
        words.append(str(tmp_path / "lawn.yaml"))
    files = {"FILE": str(home / "station.csv"), "FILE.ics": str(tmp_path / "to.ics"), "week.html": str(tmp_path / "w")}
    words = [files.get(word, word) for word in words]
    if words[0] in ("export", "sheet"):
        words += ["--lawn", "front"]
    target = tmp_path / "other" if words[0] == "import" else home
    run = ligule(*words, home=target, today=TODAY)
    assert run.returncode == (2 if command in NEEDS_A_SCREEN else 0), run.stderr.decode()
    assert b"Traceback" not in run.stderr
    assert run.stdout or command in NEEDS_A_SCREEN


def test_every_command_for_contributors_is_there():
    part = DEVELOPERS.partition("## Running things\n")[2].partition("\n## ")[0]
    lines = [line.strip() for line in part.splitlines() if line.startswith("    ")]
    assert lines
    for line in lines:
        command, _, what = line.partition("    ")
        assert what, f"{command} does not say what it is for"
        for module in re.findall(r"python -m (tests[.\w]*)", command):
            found = importlib.util.find_spec(module)
            main = (
                Path(found.origin).with_name("__main__.py") if found.submodule_search_locations else Path(found.origin)
            )
            assert '__name__ == "__main__"' in main.read_text(encoding="utf-8"), command
        for name in re.findall(r"\b(?:tests/\w+\.py|\.ci/run)\b", command):
            assert (ROOT / name).is_file(), command


def test_every_file_that_the_developers_page_names_is_there():
    rooms = [ROOT, ROOT / "assistant", ROOT / "assistant" / "interfaces", ROOT / "assistant" / "lawn"]
    named = [name for name in MARKED.findall(DEVELOPERS) if re.fullmatch(r"[\w./]+(\.py|\.yaml|\.toml|\.txt|/)", name)]
    inside = {path.name for room in ("assistant", "tests", "knowledge") for path in (ROOT / room).rglob("*.*")}
    lost = [
        name
        for name in named
        if not any((room / name).exists() for room in rooms)
        and not ("/" not in name and name in inside)
        and "TOPIC" not in name
        and "HOME" not in name
    ]
    assert not lost


def test_the_numbers_of_the_readme_are_those_of_the_doctor(home):
    told = int(re.search(r"some (\d+) entries", " ".join(README.split())).group(1))
    entries = int(re.search(rb"Practice: (\d+) entries", ligule("doctor", home=home).stdout).group(1))
    assert abs(told - entries) <= 10
