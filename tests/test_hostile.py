"""What a user types or brings is data: no escapes on the terminal, no formulas, no markup, no bombs, no way out of the folder."""

import ast
import csv
import io
import os
import re
import socket
import subprocess
import sys
import time
from pathlib import Path

import icalendar
import pytest

import assistant

ROOT = Path(assistant.__file__).parent
ESCAPES = "\x1b]0;title\x07\x1b[31mred\x9b2J\u202egnikool\u202c\x00\x08"
NAMES = [f"home {ESCAPES}", "=cmd|' /C calc'!A0", "+1", "@SUM(1)", "../../etc/lawn", "<b>front</b> & <script>x</script>",
         "one\r\nBEGIN:VEVENT\r\nSUMMARY:not ours", "a;b,c\\d", "--to", "."]  # fmt: skip


def ligule(home, *arguments, text=None, **more):
    command = [sys.executable, "-m", "assistant", *arguments, "--home", str(home), "--today", "2026-09-05"]
    return subprocess.run(command, input=text, capture_output=True, text=True, check=False, timeout=60, **more)


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A record of lawns with such names, each with an area, a program and a note."""
    folder = tmp_path_factory.mktemp("hostile")
    for name in NAMES:
        name = name.replace("\x00", "")  # no argument of a program can hold it
        lines = ("it is 4,000 sq ft of tall fescue", "start the fall liquid program on sep 5", f"note: {name}")
        text = "".join(line.replace("\r\n", " ") + "\n" for line in lines)
        done = ligule(folder, "chat", "--plain", f"--lawn={name}", text=text)
        assert "Traceback" not in done.stderr
        assert_plain(done.stdout + done.stderr)
    return folder


def assert_plain(text):
    """No control character but the end of a line, and none that turns the direction of writing."""
    found = re.search(
        r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]", text.replace("\r\n", "\n")
    )
    assert found is None, repr(text[max(0, found.start() - 30) : found.start() + 10])


@pytest.mark.parametrize("line", ["what's due this week", "show my lawns", "what do you know of the lawn"])
def test_names_reach_the_terminal_without_their_escapes(home, line):
    assert_plain(ligule(home, "ask", line).stdout)
    assert_plain(ligule(home, "chat", "--plain", text=f"{line}\n{ESCAPES}\n").stdout)


def test_the_table_of_the_record_holds_no_formula(home):
    rows = list(csv.reader(io.StringIO(ligule(home, "records").stdout)))
    assert len(rows) > 3 * len(NAMES) - 3
    for cell in (cell for row in rows[1:] for cell in row):
        assert not cell.startswith(("=", "+", "@", "\t", "\r")), cell
        assert not re.match(r"-[^\d.]", cell), cell
    assert_plain(ligule(home, "records").stdout)


def test_the_calendar_holds_our_own_lines_only(home):
    text = ligule(home, "calendar").stdout
    found = icalendar.Calendar.from_ical(text)
    summaries = [str(event["SUMMARY"]) for event in found.walk("VEVENT")]
    assert summaries
    assert "not ours" not in summaries
    assert all(len(line.encode()) <= 75 for line in text.splitlines())  # RFC 5545, 3.1


def test_the_sheet_holds_no_markup_of_the_users(home, tmp_path):
    sheet = tmp_path / "week.html"
    assert ligule(home, "sheet", "--to", str(sheet)).returncode == 0
    text = sheet.read_text(encoding="utf-8")
    assert "<script" not in text
    assert "<b>front" not in text


def test_a_name_is_no_path(home, tmp_path):
    before = set(home.rglob("*"))
    for name in ("../../etc/lawn", "."):
        done = ligule(home, "export", f"--lawn={name}", cwd=tmp_path)
        assert "Traceback" not in done.stderr
    assert {path for path in home.rglob("*") if "-wal" not in path.name and "-shm" not in path.name} <= before
    assert list(tmp_path.iterdir()) == []


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{two}: &{two} [{', '.join(['*' + one] * 9)}]\n" for one, two in zip("abcdefgh", "bcdefghi", strict=True)
)
TAG = "lawn: !!python/object/apply:os.system ['touch owned']\n"


@pytest.mark.parametrize("text", [BOMB, TAG], ids=["bomb", "tag"])
def test_a_file_of_the_users_is_read_as_plain_data(tmp_path, text):
    file = tmp_path / "lawn.yaml"
    file.write_text(text, encoding="utf-8")
    done = ligule(tmp_path / "home", "import", str(file), cwd=tmp_path)
    assert done.returncode == 2
    assert str(file) in done.stderr
    own = tmp_path / "home" / "knowledge" / "practices"
    own.mkdir(parents=True)
    (own / "own.yaml").write_text(text, encoding="utf-8")
    done = ligule(tmp_path / "home", "ask", "how much rye seed for 4000 sq ft", cwd=tmp_path)
    assert done.returncode == 0
    assert "own.yaml:1" in done.stderr
    assert not (tmp_path / "owned").exists()


@pytest.mark.parametrize(
    "rows",
    [
        "x" * 5_000_000,
        "2020-01-01,1e308,nan\n" * 5,
        "2020-01-01,inf,-inf\n",
        "\x00\x01\x02\n",
        "2020-01-01," + "9" * 10_000,
    ],
    ids=["one cell", "huge", "infinite", "binary", "long figure"],
)
def test_a_table_of_nonsense_gets_one_sentence(tmp_path, rows):
    file = tmp_path / "station.csv"
    file.write_text("DATE,TMAX,TMIN\n" + rows, encoding="utf-8")
    done = ligule(tmp_path / "home", "weather", "add", str(file))
    assert "Traceback" not in done.stderr
    assert_plain(done.stdout + done.stderr)
    assert len((done.stdout + done.stderr).splitlines()) <= 4


@pytest.mark.parametrize("call", [("weather", "add"), ("import",)], ids=" ".join)
def test_a_file_of_many_gigabytes_is_not_read(tmp_path, call):
    file = tmp_path / "blown_up"
    with open(file, "wb") as stream:
        stream.truncate(20_000_000_000)  # a hole: it takes no room on the disk
    began = time.monotonic()
    done = ligule(tmp_path / "home", *call, str(file))
    assert done.returncode == 2
    assert "MB" in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert time.monotonic() - began < 5


@pytest.mark.parametrize(
    "figure", ["1e308", "1e999", "9" * 3000, "-1e9", "1.7976931348623157e308", "0", "-0", "0.0000000001"]
)
def test_an_absurd_figure_is_refused_and_keeps_nothing(tmp_path, figure):
    done = ligule(tmp_path, "ask", "--lawn=elm", f"the lawn is {figure} sq ft of tall fescue")
    assert "Traceback" not in done.stderr
    assert done.returncode == 1
    assert "cannot be right" in done.stdout
    assert not (tmp_path / "lawns.sqlite").exists()


def test_the_code_runs_nothing_that_it_reads():
    """No eval, no pickle, no shell, no yaml loader but the safe ones, in any file of the program."""
    barred = {"eval", "exec", "pickle", "marshal", "shelve", "full_load", "unsafe_load", "load_all", "system", "popen"}
    for file in ROOT.rglob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        used = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
        used |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        used |= {
            alias.name
            for node in ast.walk(tree)
            if isinstance(node, ast.Import | ast.ImportFrom)
            for alias in node.names
        }
        loaders = {name for name in used if name.endswith("Loader")}
        assert not used & barred, f"{file.name}: {used & barred}"
        assert loaders <= {"SafeLoader", "CSafeLoader"}, file.name


def test_the_record_and_its_copies_are_the_users_own(tmp_path):
    home = tmp_path / "home"
    for day in ("2026-09-05", "2026-09-06"):
        command = [sys.executable, "-m", "assistant", "ask", "--home", str(home), "--today", day, "note: mine"]
        subprocess.run(command, check=True, capture_output=True, preexec_fn=lambda: os.umask(0))
    kept = [home, *home.rglob("*")]
    assert any(path.parent.name == "copies" for path in kept)
    assert [path for path in kept if path.stat().st_mode & 0o077] == []


NO_SOCKETS = """
import socket, sys
def refuse(*_, **__): raise AssertionError("a socket was opened")
socket.socket.connect = socket.socket.bind = socket.socket.sendto = refuse
socket.create_connection = socket.getaddrinfo = refuse
from assistant.cli import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize(
    "arguments",
    [["ask", "how much starter for 4,200 sq ft"], ["ask", "why do I roll the seed"], ["chat"], ["records"], ["calendar"],
     ["sheet"], ["doctor"], ["season"]],
    ids=lambda one: " ".join(one)[:20],
)  # fmt: skip
def test_no_network(home, arguments):
    command = [sys.executable, "-c", NO_SOCKETS, *arguments, "--home", str(home), "--today", "2026-09-05"]
    done = subprocess.run(command, input="how much seed for 4k\n", capture_output=True, text=True, check=False)
    assert "socket" not in done.stderr, done.stderr
    assert done.returncode in (0, 1)
    assert hasattr(socket, "socket")
