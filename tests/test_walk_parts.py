"""What stands under the screens of the walk: its stages and lines for every program, its calculators hole by hole, the
way it is opened, and how long the first picture takes."""

import os
import statistics
import subprocess
import sys
import time

import pytest

from assistant.answer import ANSWERED, ASKS
from assistant.dialogue import turn
from assistant.interfaces.walk import NO_SCREEN, can_draw
from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.works import complaint_of, weather_of, work_out, works_of
from assistant.skills.stages import in_hand, lines_of, plan_of, stages_of, standings, starts
from tests.asking import ligule
from tests.test_knowledge import change, copy, faults  # noqa: F401
from tests.walking import BEGUN, LAWN, chat, copied, knowledge, session

PROGRAMS = {
    "renovation program": "2026-09-12",
    "overseeding program": "2026-09-12",
    "seeding program": "2026-09-12",
    "bare spot program": "2026-09-12",
    "spring seeding program": "2027-04-05",
    "dormant seeding program": "2026-12-01",
    "winter overseeding program": "2026-10-10",
}
FED = ("light liquid program", "granular program")


WARM = "warm season fall program"  # no seed and so no seed day


def begun(home, program, day, fed, today="2026-08-01"):
    if program == WARM:
        return chat(home, today, "it is 5,200 sq ft of bermudagrass", f"start the {WARM}")
    return chat(home, today, "it is 5,200 sq ft of tall fescue", f"start the {program} on {day} with the {fed}")


def desk(home, today="2026-09-12"):
    said = session(home, today, LAWN)
    return Desk(said, lambda: said.now)


# stages ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("program", PROGRAMS)
def test_every_step_has_one_stage_and_the_next_step_is_in_the_one_in_hand(tmp_path, program):
    begun(tmp_path, program, PROGRAMS[program], FED[1])
    for today in ("2026-08-01", "2026-09-12", "2026-10-20", "2027-03-20"):
        look = session(tmp_path, today, LAWN).look(LAWN)
        plan = plan_of(look)
        stages = stages_of(look, plan)
        held = [step.id for stage in stages for step in stage.steps]
        assert sorted(held) == sorted(step.id for step in plan.steps())
        step = plan.next()
        assert step is None or step.id in {one.id for one in in_hand(stages, plan).steps}
        for stage in stages:
            assert stage.state in ("done", "late", "due", "on", "coming", "dropped")
            assert (stage.state == "late") == (stage.late > 0)


@pytest.mark.parametrize("program", [*PROGRAMS, WARM])
@pytest.mark.parametrize("fed", FED)
def test_the_line_of_every_step_does_that_step(tmp_path, program, fed):
    day = PROGRAMS.get(program, "")
    for number, step in enumerate(plan_of(begun(tmp_path / "plan", program, day, fed).look(LAWN)).steps()):
        home = copied(tmp_path / str(number), tmp_path / "plan")
        today = max(step.day.isoformat(), "2026-08-01")
        said = session(home, today, LAWN)
        lines = lines_of(said.look(LAWN), step)
        assert bool(lines.done) != step.care, step.id
        if step.care or step.id == "reseed":  # which asks for the part that is sown again
            continue
        list(turn(lines.done, said))
        plan = plan_of(said.look(LAWN))
        assert next(one.state for one in plan.steps() if one.id == step.id) == "done", lines.done


@pytest.mark.parametrize("program", [*PROGRAMS, WARM])
def test_every_step_that_is_not_care_is_moved_and_skipped_by_its_lines(tmp_path, program):
    begun(tmp_path / "plan", program, PROGRAMS.get(program, ""), FED[1])
    for number, step in enumerate(plan_of(session(tmp_path / "plan", "2026-08-01", LAWN).look(LAWN)).steps()):
        said = session(copied(tmp_path / str(number), tmp_path / "plan"), "2026-08-01", LAWN)
        lines = lines_of(said.look(LAWN), step)
        if step.care or step.by_sight or step.kind == "sow":  # what is seen, and seed day, have words of their own
            continue
        list(turn(f"{lines.move}{step.until.isoformat()}", said))
        assert step.id in said.state(LAWN).moved, lines.move
        list(turn(lines.skip, said))
        assert step.id in said.state(LAWN).skipped, lines.skip


def test_standings_are_in_the_order_of_what_is_due(tmp_path):
    for number in range(5):
        chat(tmp_path, "2026-08-01", "it is 5,200 sq ft of tall fescue",
             f"start the renovation program on 2026-09-{12 + number} with the granular program", lawn=f"Lot {number}")  # fmt: skip
    chat(tmp_path, "2026-08-01", "it is 900 sq ft", lawn="Elm 4")
    found = standings(session(tmp_path, "2026-09-11").look(""))
    assert [one.name for one in found] == ["Lot 0", "Lot 1", "Lot 2", "Lot 3", "Lot 4", "Elm 4"]
    assert all(one.lost for one in found[:5])
    assert all("slack" in one.slack or "late" in one.slack or "last day" in one.slack for one in found[:5])
    assert found[5].program == "no program yet"


# calculators -------------------------------------------------------------------------------------------------------------


def every_work(home):
    """(stage, work) of all that can be worked out, the feeds of both kinds among them."""
    chat(home, "2026-08-01", "my backpack holds 4 gal, calibrated to 1 gal per 1000")
    held = knowledge().entry("walk.stages")
    at = desk(home)
    view = at.look()
    for stage in view.stages:
        begin = starts(view.turn, view.plan, stage)
        keys = held[stage.key].get("works", ())
        yield from ((at, work) for work in works_of(view.turn, tuple(keys), begin))
        if "weather" in held[stage.key]:
            yield at, weather_of(at, held[stage.key]["weather"], begin)


@pytest.mark.parametrize("fed", FED)
def test_every_calculator_works_with_what_it_begins_with_and_what_it_is_like(tmp_path, fed):
    begun(tmp_path, "renovation program", "2026-09-12", fed)
    for at, work in every_work(tmp_path):
        values = {hole.name: hole.start or hole.like for hole in work.holes}
        result = work_out(at, work, values)
        assert result.answer is not None, (work.key, result)
        assert result.answer.status in (ANSWERED, ASKS), (work.key, result.answer.headline)
        assert result.line
    assert len(at.session.store.events()) == 4  # trying out keeps nothing


def test_a_wrong_entry_in_every_field_is_answered_in_a_sentence(tmp_path):
    begun(tmp_path, "renovation program", "2026-09-12", FED[1])
    for at, work in every_work(tmp_path):
        for hole in work.holes:
            values = {one.name: one.start or one.like for one in work.holes}
            if hole.says:
                continue
            result = work_out(at, work, {**values, hole.name: "zzqq"})
            assert result.answer is None, (work.key, hole.name)
            assert list(result.wrong) == [hole.name], (work.key, hole.name)
            assert result.wrong[hole.name].endswith(".")


@pytest.mark.parametrize(
    "text", ["", " ", "note: x", "????", "-5", "9" * 500, "5,000; mowed today", "{area}", "undo", "a" * 5000, "\x00"]
)
def test_anything_typed_into_a_hole_is_answered_and_keeps_nothing(tmp_path, text):
    begun(tmp_path, "renovation program", "2026-09-12", FED[1])
    before = len(session(tmp_path, "2026-09-12").store.events())
    for at, work in list(every_work(tmp_path))[:6]:
        for hole in work.holes[:2]:
            values = {one.name: one.start or one.like for one in work.holes}
            result = work_out(at, work, {**values, hole.name: text})
            assert result.wrong or result.open or result.answer
            assert isinstance(complaint_of(at, work, hole, text), str)
    assert len(session(tmp_path, "2026-09-12").store.events()) == before + 1  # the sprayer


def test_what_is_worth_reading_is_answered_by_its_line(tmp_path):
    begun(tmp_path, "renovation program", "2026-09-12", FED[1])
    at = desk(tmp_path)
    for stage in knowledge().entry("walk.stages").values():
        for name in stage.get("reads", ()):
            entry = knowledge().entry(f"practices.{name}")
            _, answer = at.try_out(entry["asks"][0])[0]
            assert answer.status == ANSWERED, (name, entry["asks"][0])
    for held in knowledge().entry("walk.beside").values():
        assert at.try_out(held["line"])[0][1].status in (ANSWERED, ASKS)


# the knowledge of it -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("steps: [soil.test]", "steps: [soil.tset]", 'names "soil.tset" under steps'),
        ("reads: [soil_sample_how]", "reads: [soil_sample]", 'names "soil_sample" under reads'),
        ("works: [lime, rating]", "works: [lime, rate]", 'names "rate" under works'),
        ("weather: kill", "weather: kil", 'names the weather "kil"'),
        ("the lot is sketched", "3 lots are sketched", "has a figure without a source"),
        ('line: "how big is {area}"', 'line: "how big is {ground}"', "must stand in both"),
        ("    title: soil test", "    titel: soil test", "needs a title"),
        ("  aerate: aerated today", "  aerat: aerated today", '"aerat" is no step'),
    ],
)
def test_a_fault_of_the_walk_is_told_by_line(copy, old, new, said):  # noqa: F811
    change(copy / "walk.yaml", old, new)
    text = faults(copy)
    assert "walk.yaml:" in text
    assert said in text


# how it is opened --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("keyboard", "screen", "term", "plain", "drawn"),
    [
        (True, True, "xterm-256color", False, True),
        (False, True, "xterm", False, False),
        (True, False, "xterm", False, False),
        (True, True, "dumb", False, False),
        (True, True, "", False, False),
        (True, True, "xterm", True, False),
    ],
)
def test_it_is_decided_before_anything_is_drawn(keyboard, screen, term, plain, drawn):
    assert can_draw(keyboard, screen, term, plain) is drawn


@pytest.mark.parametrize("words", [[], ["--plain"]])
def test_without_a_terminal_it_says_where_to_go(tmp_path, words):
    run = ligule("walk", *words, home=tmp_path / "home", env={**os.environ, "TERM": "dumb"})
    assert run.returncode == 2
    assert run.stdout == b""
    assert run.stderr.decode().strip() == NO_SCREEN
    assert not (tmp_path / "home").exists()


def test_a_refused_walk_and_a_chat_load_no_textual(tmp_path):
    code = (
        "import sys; from assistant.cli import main;"
        f"main(['walk', '--home', {str(tmp_path)!r}]); main(['chat', '--home', {str(tmp_path)!r}]);"
        "assert 'textual' not in sys.modules"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, input="4.2k @ 12oz/k\n")
    assert run.returncode == 0, run.stderr


EMPTY = """
from textual.app import App
class Empty(App[None]):
    def on_mount(self): self.call_after_refresh(self.exit)
Empty().run(headless=True)
"""
OPENED = """
import sys
import textual.app
run = textual.app.App.run
textual.app.App.run = lambda self, **more: run(self, headless=True)
from assistant.interfaces.walk.main_screen import MainScreen
MainScreen.open_desk = lambda self: self.app.exit()  # what comes after the first picture
class Terminal:
    def __getattr__(self, name): return getattr(sys.__stdout__, name)
    def isatty(self): return True
sys.stdin = sys.stdout = sys.stderr = Terminal()
from assistant.cli import main
sys.exit(main(["walk", "--today", "2026-09-12", "--home", sys.argv[1]]))
"""


def test_the_first_picture_takes_at_most_twice_an_empty_app(tmp_path, capsys):
    chat(tmp_path, "2026-07-18", *BEGUN)

    def once(code):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=True, stdout=subprocess.DEVNULL,
                       env={**os.environ, "TERM": "xterm"})  # fmt: skip
        return 1000 * (time.perf_counter() - began)

    once(EMPTY), once(OPENED)  # the image of the knowledge base and the byte code are made once
    pairs = [(once(EMPTY), once(OPENED)) for _ in range(5)]
    empty, opened = (statistics.median(column) for column in zip(*pairs, strict=True))
    with capsys.disabled():
        print(
            f"\n  first picture: empty Textual app {empty:.0f} ms, ligule walk {opened:.0f} ms, ratio {opened / empty:.2f}"
        )
    assert opened <= 2 * empty


def test_what_breaks_in_it_is_one_sentence_and_no_traceback(tmp_path):
    broken = OPENED.replace("self.app.exit()", "1 / 0")
    run = subprocess.run(
        [sys.executable, "-c", broken, str(tmp_path)],
        capture_output=True,
        text=True,
        env={**os.environ, "TERM": "xterm", "LIGULE_DEBUG": ""},
    )
    assert run.returncode == 2
    said = run.stdout + run.stderr
    assert "Traceback" not in said
    assert "Something in ligule itself broke (ZeroDivisionError" in said
