"""The command line: arguments, the clock, the folders, and exit codes. Nothing below reads any of them."""

from __future__ import annotations

import gc
import io
import os
import sys
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from assistant import __version__
from assistant.asked import Usage, question_of
from assistant.interfaces.printing import complain, sentence_of
from assistant.knowledge_base import Knowledge, load
from assistant.lawn.state import is_of
from assistant.lawn.store import Store, StoreError
from assistant.lawn.weather import Weather
from assistant.terms import Now, capital

if TYPE_CHECKING:
    import argparse

    from assistant.dialogue import Session

LONGEST_READ = 2_000_000  # characters of one line; the rest of a longer one is passed over


def _readable(word: str) -> str:
    """An argument whose bytes are no UTF-8, with a mark in their place."""
    return word.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def main(arguments: list[str] | None = None) -> int:
    """Runs ligule; gives the exit code."""
    _unicode_output()
    try:
        given = [_readable(word) for word in (sys.argv[1:] if arguments is None else arguments)]
        code = _run(_options(_spread(given)))
        if sys.stdout:
            sys.stdout.flush()
        return code
    except Usage as problem:
        complain(str(problem))
        return 2
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as problem:  # no traceback reaches a user; LIGULE_DEBUG shows it to a developer
        if os.environ.get("LIGULE_DEBUG"):
            raise
        complain(sentence_of(problem))
        return 2


def _options(arguments: list[str]) -> Any:
    """The call as it was read. A question is read without argparse, which costs it a twentieth of its time."""
    asked = question_of(arguments[1:]) if arguments[:1] == ["ask"] else None
    return _parser().parse_args(arguments) if asked is None else asked


def _parser() -> argparse.ArgumentParser:
    import argparse

    class Parser(argparse.ArgumentParser):
        def error(self, message: str) -> NoReturn:
            raise Usage(f"{capital(message)}. See ligule --help.")

    parser = Parser(
        prog="ligule",
        description="Seeding lawns: the arithmetic, the practice, the dates and the record, in the terminal.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"ligule {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    shared = Parser(add_help=False)
    shared.add_argument(
        "--lawn", default="", metavar="NAME", help="the lawn that it is about; what is told is kept on it"
    )
    shared.add_argument("--today", default="", metavar="DATE", help="the day it is: 2026-09-05 or 2026-09-05T14:00")
    shared.add_argument("--home", default=None, metavar="FOLDER", help="the data folder (or LIGULE_HOME)")
    shared.add_argument("--plain", action="store_true", help="plain lines, no colours or redraws")
    asking = commands.add_parser("ask", parents=[shared], help="one answer and out", allow_abbrev=False)
    asking.add_argument(
        "--json", action="store_true", help="the answer as JSON; with - as the question, one question a line"
    )
    asking.add_argument("--explain", action="store_true", help="how the question was read")
    asking.add_argument("question", nargs="*")
    talking = commands.add_parser("chat", parents=[shared], help="a conversation, line by line", allow_abbrev=False)
    talking.add_argument("--json", action="store_true", help="one JSON object a line")
    walking = commands.add_parser(
        "walk", parents=[shared], help="the full-screen walk through a renovation", allow_abbrev=False
    )
    walking.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal, to mark and copy")
    weather = commands.add_parser(
        "weather", parents=[shared], help="weather tables into a place's record", allow_abbrev=False
    )
    weather.add_argument("action", choices=["add"], metavar="add")
    weather.add_argument("file", metavar="FILE", help="CSV: DATE, TMAX, TMIN, PRCP, or time, temperature, wind ...")
    weather.add_argument(
        "--place", default="", metavar="NAME", help="the place it belongs to; several lawns can share one"
    )
    weather.add_argument("--units", default="", choices=["us", "metric", "tenths"], help="where the file does not say")
    dates = commands.add_parser("calendar", parents=[shared], help="the dated steps as iCalendar", allow_abbrev=False)
    dates.add_argument("--to", default="", metavar="FILE.ics", help="write it instead of printing it")
    page = commands.add_parser("sheet", parents=[shared], help="the work of this week on one page", allow_abbrev=False)
    page.add_argument("--to", default="", metavar="FILE", help="write it: .html for a page to print, else Markdown")
    page.add_argument(
        "--card", action="store_true", help="a card for the owner of the lawn instead: water, keep off, expect"
    )
    page.add_argument("--by", default="", metavar="DATE", help="what is due by that day; without it, within the week")
    drawing = commands.add_parser(
        "season", parents=[shared], help="the fall of a lawn's place as a picture", allow_abbrev=False
    )
    drawing.add_argument("--to", default="", metavar="FILE.svg", help="write it as SVG instead of letters")
    listed = commands.add_parser("records", parents=[shared], help="the journal as CSV", allow_abbrev=False)
    listed.add_argument(
        "--applications", action="store_true", help="what went down, with the fields that record rules ask"
    )
    listed.add_argument(
        "--applicator", default="", metavar="NAME", help="who applied it, and the licence, for that list"
    )
    out = commands.add_parser("export", parents=[shared], help="a lawn, whole, as YAML", allow_abbrev=False)
    out.add_argument("--to", default="", metavar="FILE.yaml", help="write it instead of printing it")
    taken = commands.add_parser("import", parents=[shared], help="a lawn from such a file", allow_abbrev=False)
    taken.add_argument("file", metavar="FILE.yaml")
    commands.add_parser(
        "doctor", parents=[shared], help="versions, folders, health of record and knowledge", allow_abbrev=False
    )
    return parser


def _spread(arguments: list[str]) -> list[str]:
    """The shared options may stand before or behind the command; without a command it is chat."""
    commands = {
        "ask",
        "calendar",
        "chat",
        "doctor",
        "export",
        "import",
        "records",
        "season",
        "sheet",
        "walk",
        "weather",
    }
    place = next((n for n, word in enumerate(arguments) if word in commands and not _is_value(arguments, n)), None)
    if place is None:
        return (
            arguments
            if any(word in ("-h", "--help", "--version") for word in arguments)
            or (arguments and not arguments[0].startswith("-"))
            else ["chat", *arguments]
        )
    before, command, after = arguments[:place], arguments[place], arguments[place + 1 :]
    return [command, *before, *after]


def _is_value(arguments: list[str], n: int) -> bool:
    return n > 0 and arguments[n - 1] in ("--lawn", "--today", "--home")


def _run(options: argparse.Namespace) -> int:
    if options.home == "":
        raise Usage("--home needs a folder; leave it away for the usual one.")
    home = Path(options.home or os.environ.get("LIGULE_HOME") or _data_folder())
    if home.exists() and not home.is_dir():
        raise Usage(f"--home {home} is a file; give a folder.")
    now = _now(options.today)
    store = _store(home, needed=options.command != "ask" or bool(options.lawn))
    options.home = home
    options.lawn = _lawn(options.lawn, store)
    if options.command == "records":
        from assistant.interfaces.records import records

        if options.applications:
            from assistant.interfaces.records import applications

            return applications(store, load(_cache_folder(), own=home / "knowledge"), options.lawn, options.applicator)
        return records(store, options.lawn)
    if options.command == "weather":
        return _weather(options, home)
    if options.command in ("export", "import"):
        return _exchange(options, store)
    if options.command == "chat" and _on_a_screen(options):
        return _talk(options, home, store, now)
    if options.command == "walk":  # decided before anything heavy is loaded
        from assistant.interfaces.walk import NO_SCREEN, can_draw

        keyboard, *screens = (bool(one) and one.isatty() for one in (sys.stdin, sys.stdout, sys.stderr))
        if not can_draw(keyboard, all(screens), os.environ.get("TERM", ""), options.plain):
            raise Usage(NO_SCREEN)
    knowledge = load(_cache_folder(), own=home / "knowledge")
    for sentence in _left_out(knowledge, home):
        complain(sentence)
    if options.command == "doctor":
        from assistant.interfaces.doctor import Terminal, report

        draws = _on_a_screen(options)
        size = _screen() if draws else (0, 0)
        letters = bool(sys.stdout) and _shows_unicode()
        terminal = Terminal(os.environ.get("TERM", ""), draws, *size, not os.environ.get("NO_COLOR"), letters)
        print("\n".join(report(knowledge, store, Weather(home), _cache_folder(), terminal)))
        return 0
    if options.command == "sheet":
        return _sheet(options, knowledge, store, now)
    if options.command == "calendar":
        return _calendar(options, knowledge, store, now)
    if options.command == "season":
        return _season(options, knowledge, store, now)
    if options.command == "walk":
        from assistant.interfaces.walk import walk

        def opened() -> Session:
            from assistant.dialogue import Session

            return Session(knowledge, store, now, True, options.lawn, weather=Weather(home))

        return walk(knowledge, opened, lambda: _now(options.today), mouse=not options.no_mouse)
    return _chat(options, knowledge, store, now) if options.command == "chat" else _ask(options, knowledge, store, now)


def _lawn(said: str, store: Store) -> str:
    """The lawn on record that a name means. The dialogue is loaded for it only where one was named."""
    if not said:
        return ""
    from assistant.dialogue.lawns import lawn_named

    return lawn_named(said, store.lawns())


def _store(home: Path, needed: bool) -> Store:
    """The record of a home. A damaged one stops what needs it, and is named beside what does not."""
    store = Store(home)
    try:
        store.lawns()
    except StoreError as problem:
        if needed:
            raise
        complain(f"{problem} The question is answered without it.")
        return Store(home, closed=True)
    return store


def _ask(options: argparse.Namespace, knowledge: Knowledge, store: Store, now: Now) -> int:
    question = " ".join(options.question)
    many = options.json and question.strip() == "-"
    if not many:
        gc.disable()  # one answer and out: what it loads lives to the end, and looking for garbage costs its time
    from assistant.dialogue import Session
    from assistant.interfaces import oneshot

    keep = bool(options.lawn)
    first = Session(knowledge, store, now, keep, options.lawn, weather=Weather(options.home))
    if many:
        seldom_collected()
        return oneshot.ask_lines(_lines(sys.stdin), first.afresh)
    if options.explain:
        oneshot.explain(question, first)
        return 0
    return oneshot.ask(question, first, options.json, _width())


def seldom_collected() -> None:
    """Rings of garbage are looked for seldom: answers make none, and each look at all that is loaded takes as long as ten turns."""
    gc.set_threshold(10_000, 20, 100)


def _chat(options: argparse.Namespace, knowledge: Knowledge, store: Store, now: Now) -> int:
    from assistant.dialogue import Session
    from assistant.interfaces.chat import chat

    seldom_collected()
    session = Session(knowledge, store, now, True, options.lawn, weather=Weather(options.home))
    at_keyboard = bool(sys.stdin and sys.stdin.isatty() and not options.json)
    return chat(_lines(sys.stdin), session, options.json, at_keyboard, _width(), _clock(options, now))


def _talk(options: argparse.Namespace, home: Path, store: Store, now: Now) -> int:
    """The chat on a terminal. What answers need is loaded when its prompt stands."""
    from assistant.interfaces.ink import Paper
    from assistant.interfaces.talk import talk

    seldom_collected()

    def opened() -> tuple[Session, list[str]]:
        from assistant.dialogue import Session

        knowledge = load(_cache_folder(), own=home / "knowledge")
        session = Session(knowledge, store, now, True, options.lawn, weather=Weather(home))
        return session, _left_out(knowledge, home)

    paper = Paper(_screen, not os.environ.get("NO_COLOR"), _shows_unicode())
    return talk(opened, store.lawns(), _clock(options, now), home, paper)


def _clock(options: argparse.Namespace, now: Now) -> Callable[[], Now]:
    """The day it is at each line: a chat may stay open past midnight. A day that was given stands."""
    return (lambda: now) if options.today else (lambda: _now(""))


def _on_a_screen(options: argparse.Namespace) -> bool:
    """True for a person at a terminal that can move its cursor; pipes, dumb terminals and --plain get plain lines."""
    if (
        options.plain
        or getattr(options, "json", False)
        or not (sys.stdin and sys.stdout and sys.stdin.isatty() and sys.stdout.isatty())
    ):
        return False
    return sys.platform == "win32" or os.environ.get("TERM", "") not in ("", "dumb", "unknown")


def _shows_unicode() -> bool:
    """False where the terminal was said to show no more than ASCII, though Python itself would write UTF-8 there."""
    said = os.environ.get("LC_ALL") or os.environ.get("LANG") or ""
    return (sys.stdout.encoding or "ascii").lower().startswith("utf") and said not in ("C", "POSIX")


def _screen() -> tuple[int, int]:
    """Columns and rows of the terminal, as they are now."""
    try:
        size = os.get_terminal_size(sys.stdout.fileno())
    except OSError:
        return 80, 24
    return max(size.columns or 80, 20), max(size.lines or 24, 6)


def _exchange(options: argparse.Namespace, store: Store) -> int:
    from assistant.interfaces.exchange import exported, imported
    from assistant.lawn.exchange import NotALawn

    if options.command == "export":
        name = options.lawn or (store.lawns()[0] if len(store.lawns()) == 1 else "")
        if name not in store.lawns():
            known = ", ".join(store.lawns()) or "none yet"
            raise Usage(f"Which lawn? Name one with --lawn: {known}.")
        _put_out(exported(store, name), options.to)
        parts = [one for one in store.lawns() if one != name and is_of(one, name)]
        if parts:
            print(f"Its parts are lawns of their own, to be exported each: {'; '.join(parts)}.", file=sys.stderr)
        return 0
    path = Path(options.file).expanduser()
    try:
        name, count = imported(store, path, options.lawn)
    except UnicodeDecodeError as problem:
        raise Usage(f"{path} is no text in UTF-8. Nothing was taken in.") from problem
    except NotALawn as problem:
        raise Usage(f"{path}: {problem} Nothing was taken in.") from problem
    print(f"Taken in: {name}, {count} event{'' if count == 1 else 's'}.")
    return 0


def _put_out(text: str, file: str) -> None:
    """Printed, or written where a file is named."""
    if file:
        Path(file).write_text(text, encoding="utf-8")
        print(f"Written: {file}")
    else:
        sys.stdout.write(text)


def _sheet(options: argparse.Namespace, knowledge: Knowledge, store: Store, now: Now) -> int:
    from assistant.dialogue import Session
    from assistant.interfaces.sheets import card_of, html, markdown, sheet_of
    from assistant.skills.lawns import due_by, plans

    until = _now(options.by, "--by").day if options.by else now.day + timedelta(days=6)
    look = Session(knowledge, store, now, False, options.lawn, weather=Weather(options.home)).look(options.lawn)
    if options.card:
        running = [plan for state, plan in plans(look) if is_of(state.name, options.lawn)]
        if len(running) != 1:
            raise Usage("A card is of one lawn with a program running. Name it with --lawn.")
        made = card_of(look, running[0])
    else:
        found = [one for one in due_by(look, until) if is_of(one.lawn.name, options.lawn)]
        made = sheet_of(look, found, until)
    _put_out(html(made) if options.to.endswith(".html") else markdown(made), options.to)
    return 0


def _calendar(options: argparse.Namespace, knowledge: Knowledge, store: Store, now: Now) -> int:
    from assistant.dialogue import Session
    from assistant.interfaces.calendar import calendar_of
    from assistant.skills.lawns import plans

    session = Session(knowledge, store, now, False, options.lawn, weather=Weather(options.home))
    found = [pair for pair in plans(session.look(options.lawn)) if is_of(pair[0].name, options.lawn)]
    if not found:
        raise Usage("No lawn has a program running. Start one in ligule chat: say when you seeded.")
    text = calendar_of(found, now)
    if options.to:
        Path(options.to).write_bytes(text.encode())
        print(f"Written: {options.to}")
    else:
        sys.stdout.write(text.replace("\r\n", "\n"))
    return 0


def _season(options: argparse.Namespace, knowledge: Knowledge, store: Store, now: Now) -> int:
    from assistant.dialogue import Session
    from assistant.interfaces import oneshot

    session = Session(knowledge, store, now, False, options.lawn, weather=Weather(options.home))
    if not options.to:
        return oneshot.ask("show the season", session)
    from assistant.interfaces.pictures import write_svg
    from assistant.skills.chart import season_of

    look = session.look(session.lawn or (session.lawns[0] if len(session.lawns) == 1 else ""))
    facts = look.lawn.facts if look.lawn else {}
    picture = season_of(look, facts.get("seed_day"))
    if picture is None:
        raise Usage("There is no year of daily weather to draw. Add one: ligule weather add FILE.")
    write_svg(picture, Path(options.to))
    print(f"Written: {options.to}")
    return 0


def _weather(options: argparse.Namespace, home: Path) -> int:
    from assistant.answer import RECORDED, to_text
    from assistant.dialogue.tables import add_weather
    from assistant.interfaces.printing import text_for

    answer = add_weather(Path(options.file).expanduser(), Weather(home), options.place.strip(), options.units)
    if answer.status != RECORDED:
        complain(answer.headline)
        return 2
    print(text_for(to_text(answer), sys.stdout, _width()))
    return 0


def _lines(stream: object) -> Iterator[str]:
    """The lines of stdin; what is no UTF-8 becomes a replacement mark, and an endless line is cut, not held."""
    if stream is None:
        return
    raw = getattr(stream, "buffer", None)
    source = io.TextIOWrapper(raw, encoding="utf-8", errors="replace", newline="\n") if raw is not None else stream
    while True:
        line = source.readline(LONGEST_READ)  # type: ignore[attr-defined]
        if not line:
            return
        while not line.endswith("\n") and len(line) >= LONGEST_READ:
            rest = source.readline(LONGEST_READ)  # type: ignore[attr-defined]
            if not rest or rest.endswith("\n"):
                break
        yield line


def _now(said: str, option: str = "--today") -> Now:
    if not said:
        return Now(datetime.now(), True)
    try:
        moment = datetime.fromisoformat(said)
    except ValueError as problem:
        raise Usage(f"{option} {said} is no day of the calendar; write 2026-09-05 or 2026-09-05T14:00.") from problem
    if not 1900 <= moment.year <= 2200:
        raise Usage(f"{option} {said} is out of reach; give a day between 1900 and 2200.")
    return Now(moment, "T" in said)


def _data_folder() -> Path:
    """Where this platform keeps a user's data."""
    user = Path(os.path.expanduser("~"))
    if sys.platform == "darwin":
        return user / "Library" / "Application Support" / "ligule"
    if sys.platform == "win32":
        return Path(os.environ.get("APPDATA") or user) / "ligule"
    return Path(os.environ.get("XDG_DATA_HOME") or user / ".local" / "share") / "ligule"


def _cache_folder() -> Path:
    user = Path(os.path.expanduser("~"))
    if sys.platform == "darwin":
        return user / "Library" / "Caches" / "ligule"
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or user) / "ligule"
    return Path(os.environ.get("XDG_CACHE_HOME") or user / ".cache") / "ligule"


def _left_out(knowledge: Knowledge, home: Path) -> list[str]:
    """What of the user's own folder is not used, a sentence each: a broken file, or a name that nothing reads."""
    said = [f"{fault} The file is left out; everything else answers." for fault in knowledge.left_out]
    folder = home / "knowledge"
    if not folder.is_dir():
        return said
    from assistant.knowledge_base import is_own
    from assistant.knowledge_base.files import names_in

    names = [name for name in names_in(folder) if not is_own(name)]
    return said + [f"{folder / name} is no file that a folder of your own holds; it is left out." for name in names]


def _width() -> int:
    """The terminal's width; none for a pipe, whose lines stay whole."""
    if not sys.stdout or not sys.stdout.isatty():
        return 0
    return max(40, min(os.get_terminal_size().columns, 100))


def _unicode_output() -> None:
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
