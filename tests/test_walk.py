"""The full-screen walk, driven by keys and mouse on a fixed day: what it shows, and above all what it records."""

import asyncio
import math
import random
import time
from datetime import date, timedelta

import pytest
from textual import events
from textual.widgets import Input

from assistant.answer import to_text
from assistant.dialogue import turn
from assistant.interfaces.walk.actions import ACTIONS, PAGES, key_words, typed_action
from assistant.interfaces.walk.answers import Said
from assistant.interfaces.walk.press import Press, Tick
from assistant.interfaces.walk.telling import Telling
from assistant.interfaces.walk.work_card import Entry
from assistant.lawn.store import Store
from tests.walking import BEGUN, LAWN, SIZES, chat, copied, focus, recorded, session, shown, typed, unfold, walked

TODAY = "2026-08-10"
PAGE_KEYS = {"walk": "f2", "lawns": "f3", "shelf": "f4", "record": "f5", "form": "f6"}


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    folder = tmp_path_factory.mktemp("begun")
    chat(folder, "2026-07-18", *BEGUN)
    return folder


@pytest.fixture
def home(tmp_path, begun):
    return copied(tmp_path, begun)


def texts(home):
    return [event.text for event in Store(home).events()]


# what it shows -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_it_opens_on_the_stage_in_hand(home, size):
    async def script(pilot, app):
        return shown(app), app.main.view.in_hand.key, app.focused.id

    text, stage, focused = walked(home, TODAY, script, size)
    assert stage == "test"
    assert focused == "ask"
    assert f" {LAWN}" in text
    assert "33 days to seed day" in text
    assert "SOIL TEST  due" in text
    assert "Latest start Sat 15 August 2026" in text
    assert "> 3 soil test        Aug 15" in text
    assert all(len(line) == size[0] for line in text.split("\n"))
    assert len(text.split("\n")) == size[1]


ON_PAGE = {
    "walk": "SOIL TEST",
    "lawns": "5 days of slack",
    "shelf": "Tall fescue: 31.2 to 41.6 lb",
    "record": "it is in maryland",
    "form": "Sat 12 September",
}


@pytest.mark.parametrize("size", [*SIZES, (60, 20)])
def test_every_page_is_drawn_at_every_size_in_both_inks(home, size):
    async def script(pilot, app):
        for page in PAGES:
            await pilot.press(PAGE_KEYS[page], "ctrl+b")
            await pilot.pause()
            text = shown(app)
            assert app.main.pages[page].display
            assert ON_PAGE[page] in text
            assert "ask " in text
            assert "F1 keys" in text
        return app.theme

    assert walked(home, TODAY, script, size) == "tag"


def test_the_marks_of_the_screen_are_one_cell_wide_and_plain(home):
    async def script(pilot, app):
        found = set()
        for page in PAGES:
            await pilot.press(PAGE_KEYS[page])
            await pilot.pause()
            found |= set(shown(app))
        return found

    allowed = {"°", "…", "–"}
    odd = {mark for mark in walked(home, TODAY, script, (100, 30)) if ord(mark) > 126} - allowed
    assert all(0x2580 <= ord(mark) <= 0x259F for mark in odd), odd  # the blocks of a scrollbar


def test_resizing_never_breaks_it(home):
    async def script(pilot, app):
        for width, height in [
            (80, 24),
            (40, 10),
            (20, 5),
            (160, 50),
            (60, 20),
            (111, 30),
            (72, 24),
            (300, 80),
            (80, 24),
        ]:
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            assert "ask" in shown(app)
        return shown(app)

    assert "SOIL TEST" in walked(home, TODAY, script)


def test_what_a_step_raises_stands_beside_it_and_nowhere_else(home):
    async def script(pilot, app):
        found = {}
        for stage in app.main.view.stages:
            await app.main.go_to_stage(stage.key)
            found[stage.key] = {one.id for one in app.main.pages["walk"].query(Telling) if one.id}
        return found

    found = walked(home, "2026-09-12", script)
    assert found["feeds"] == {"beside-nitrogen"}
    assert found["sow"] == {"beside-soil", "beside-season"}
    assert found["test"] == set()


def test_the_season_is_drawn_as_wide_as_there_is_room(home, tmp_path_factory):
    table = tmp_path_factory.mktemp("weather") / "station.csv"
    first = date(2022, 1, 1)
    days = [first + timedelta(days=n) for n in range(1700)]
    warm = [55 - 25 * math.cos((day.timetuple().tm_yday - 20) / 365 * 2 * math.pi) for day in days]
    rows = [f"{day},{mean + 10:.0f},{mean - 10:.0f},0" for day, mean in zip(days, warm, strict=True)]
    table.write_text("\n".join(["DATE,TMAX,TMIN,PRCP", *rows]))
    chat(home, "2026-08-28", f"weather add {table} for {LAWN}")

    async def script(pilot, app):
        await app.main.go_to_stage("sow")
        widths = []
        for size in ((80, 24), (160, 50), (60, 20)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            line = app.main.query_one("#beside-season")
            rows = str(line.render()).split("\n")
            assert max(len(row) for row in rows[:15]) <= line.size.width
            assert sum("*" in row for row in rows[:13]) > 4
            widths.append(max(len(row) for row in rows[:13]))
        soil = app.main.query_one("#beside-soil").answer.headline
        await typed(pilot, "show me the season")
        return widths, soil, app.main.query(Telling).last().has_class("-drawn")

    (plain, wide, slim), soil, drawn = walked(home, "2026-08-29", script)
    assert wide > plain > slim - 10
    assert "at 4 inches" in soil
    assert drawn


# what it records ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES[::2])
def test_done_today_is_what_chat_would_have_recorded(home, tmp_path_factory, size):
    other = copied(tmp_path_factory.mktemp("chat"), home)
    chat(other, TODAY, "took the soil test today")

    async def script(pilot, app):
        await focus(pilot, app, "done-soil-test")
        await pilot.press("enter")
        await pilot.pause()
        return app.main.view.in_hand.key, shown(app)

    stage, text = walked(home, TODAY, script, size)
    assert recorded(home) == recorded(other)
    assert stage == "clear"  # the next step is in another stage, and that one comes into view
    assert "OLD GRASS OUT" in text


def test_a_click_does_the_same(home):
    async def script(pilot, app):
        await pilot.click("#done-soil-test")
        await pilot.pause()
        await pilot.click("#stages", offset=(5, 5))
        await pilot.pause()
        listed = app.main.stage
        await pilot.click("#tape", offset=(1, 1))
        await pilot.pause()
        taped = app.main.stage
        await pilot.click("#keys", offset=(20, 0))
        await pilot.pause()
        return listed, taped, app.main.page

    assert walked(home, TODAY, script, (100, 40)) == ("ground", "test", "lawns")
    assert texts(home).count("soil test done today") == 1


def test_the_keys_live_on_however_fast_a_thing_is_pressed(home):
    async def script(pilot, app):
        await focus(pilot, app, "tick-cores")
        for _ in range(6):
            app.post_message(events.Key("space", " "))  # not one of them waits until the page is drawn anew
        await pilot.pause(0.5)
        attached = app.focused.is_attached
        await pilot.press("f5")
        await pilot.pause()
        return attached, app.main.page

    assert walked(home, TODAY, script) == (True, "record")


def test_words_typed_on_a_page_are_a_line_and_press_nothing(home):
    before = texts(home)

    async def script(pilot, app):
        await focus(pilot, app, "done-soil-test")
        for mark in "it is 4 lb":
            app.post_message(events.Key("space" if mark == " " else mark, mark))
        await pilot.pause(0.5)
        return app.focused.id, app.focused.value

    assert walked(home, TODAY, script) == ("ask", "it is 4 lb")
    assert texts(home) == before


def test_other_day_and_move_are_finished_in_the_question_line(home):
    async def script(pilot, app):
        await focus(pilot, app, "move-soil-test")
        await pilot.press("enter")
        await pilot.pause()
        assert app.focused.id == "ask"
        began = app.focused.value
        await typed(pilot, "aug 12")
        return began

    assert walked(home, TODAY, script) == "move the soil test to "
    assert texts(home)[-1] == "move the soil test to aug 12"
    assert recorded(home)[-1][0] == "moved"


def test_a_tick_is_a_note_that_chat_shows_and_that_can_be_taken_off(home):
    async def script(pilot, app):
        await focus(pilot, app, "tick-cores")
        await pilot.press("space")
        await pilot.pause()
        first = app.main.pages["walk"].query_one("#tick-cores", Tick).ticked
        assert app.focused.id == "tick-cores"  # the keyboard stays where it was
        await pilot.press("space")
        await pilot.pause()
        return first, app.main.pages["walk"].query_one("#tick-cores", Tick).ticked

    assert walked(home, TODAY, script) == (True, False)
    words = "cores were taken from all over and mixed in a clean bucket"
    assert texts(home)[-2:] == [f"ticked: {words}", f"not ticked: {words}"]
    said = session(home, TODAY, LAWN)
    assert f"note: ticked: {words}" in to_text(next(turn("show me the history", said))[1])


def test_a_calculator_answers_at_each_key_and_keeps_only_when_told_to(home):
    async def script(pilot, app):
        await app.main.go_to_stage("sow")
        assert "seed to weigh out: 31.2 to 41.6 lb" in str(app.main.query_one("#work-seed-fold").render())
        card = await unfold(pilot, app, "seed")
        assert app.focused.id == "work-seed-species"
        first = card.result.answer.headline
        field = card.query_one("#work-seed-area", Input)
        field.focus()
        field.value = "4,000 sq ft"
        await pilot.pause()
        changed = card.result.answer.headline
        before = len(texts(home))
        await focus(pilot, app, "work-seed-drop")
        await pilot.press("enter")
        await pilot.pause()
        dropped = card.result.answer.headline
        assert len(texts(home)) == before
        field.focus()
        await pilot.pause()
        field.value = "4,000 sq ft"
        await pilot.pause()
        await focus(pilot, app, "work-seed-keep")
        await pilot.press("enter")
        await pilot.pause()
        return first, changed, dropped

    first, changed, dropped = walked(home, "2026-09-12", script)
    assert first.startswith("31.2 to 41.6 lb")
    assert changed.startswith("24 to 32 lb")
    assert dropped == first
    assert texts(home)[-1].startswith("seed to weigh out: 24 to 32 lb of tall fescue seed (4,000 sq ft x")
    assert recorded(home)[-1][:2] == ("note", LAWN)


def test_the_ground_is_kept_as_a_fact_with_how_it_was_measured(home):
    async def script(pilot, app):
        await app.main.go_to_stage("measure")
        await unfold(pilot, app, "ground")
        await typed(pilot, "60 x 70 minus 10 x 20", enter=False)
        await focus(pilot, app, "work-ground-keep")
        await pilot.press("enter")
        await pilot.pause()
        return app.main.view.turn.lawn.facts["area"].amount.low

    assert walked(home, TODAY, script) == 4000
    assert texts(home)[-2:] == ["it is 4,000 sq ft", "measured as 60 x 70 minus 10 x 20"]


def test_what_was_typed_and_not_kept_is_there_when_the_stage_comes_back(home):
    async def script(pilot, app):
        await app.main.go_to_stage("test")
        await unfold(pilot, app, "lime")
        app.main.pages["walk"].query_one("#work-lime-ph", Input).value = "5.6"
        await pilot.pause()
        await app.main.go_to_stage("sow")
        await app.main.go_to_stage("test")
        return app.main.pages["walk"].query_one("#work-lime-ph", Input).value

    assert walked(home, TODAY, script) == "5.6"
    assert len(texts(home)) == len(recorded(home)) == 5


def test_the_verdict_on_the_day_follows_what_is_told_of_the_weather(home):
    async def script(pilot, app):
        card = await unfold(pilot, app, "weather-seed")
        found = [card.result.answer.headline]
        for name, value in (("temperature", "72"), ("wind", "25")):
            card.query_one(f"#work-weather-seed-{name}", Input).value = value
            await pilot.pause()
            found.append(card.result.answer.verdict)
        return found

    headline, mild, windy = walked(home, "2026-09-12", script)
    assert "Tell me the weather" in headline
    assert (mild, windy) == ("care", "no")


def test_a_wrong_entry_is_answered_beside_its_field(home):
    async def script(pilot, app):
        await app.main.go_to_stage("sow")
        page = app.main.pages["walk"]
        await unfold(pilot, app, "seed")
        said = []
        for value in ("zzqq", "-50 sq ft", "900000000 acres"):
            page.query_one("#work-seed-area", Input).value = value
            await pilot.pause()
            wrong = [one for one in page.query(Entry) if one.has_class("-wrong")]
            assert [one.hole.name for one in wrong] == ["area"]
            said.append(str(wrong[0].query_one(".under").render()))
            assert page.query_one("#work-seed").result.answer is None
        return said

    first, second, third = walked(home, "2026-09-12", script)
    assert first.startswith('"zzqq" is no ground that I can read')
    assert second.startswith("-50 sq ft cannot be right")
    assert third.startswith("900,000,000 acres cannot be right")


# the talk ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES[::2])
def test_the_question_line_answers_beside_the_stage(home, size):
    async def script(pilot, app):
        await typed(pilot, "how much seed")
        said = app.main.query_one(Said)
        return said.line, said.answers[0].headline, shown(app)

    line, headline, text = walked(home, TODAY, script, size)
    assert line == "how much seed"
    assert headline.startswith("31.2 to 41.6 lb")
    assert "SOIL TEST" in text
    assert "> how much seed" in text
    assert len(texts(home)) == 5


def test_what_is_told_in_the_question_line_moves_the_stages(home):
    async def script(pilot, app):
        await typed(pilot, "took the soil test today")
        return app.main.view.stage("test").state

    assert walked(home, TODAY, script) == "done"


def test_a_choice_is_taken_by_pressing_it(tmp_path):
    async def script(pilot, app):
        assert app.focused.id == "ask"  # a lawn is on record: what is typed at once is a question
        await typed(pilot, "seeded today")
        choices = list(app.main.query_one(Said).query(Press))
        choices[1].focus()
        await pilot.press("enter")
        await pilot.pause()
        return app.main.view.plan.name

    chat(tmp_path, "2026-09-05", "it is 5,200 sq ft of tall fescue")
    assert walked(tmp_path, "2026-09-05", script) == "granular program"


def test_earlier_lines_come_back_and_a_copy_is_written(home, tmp_path_factory):
    file = tmp_path_factory.mktemp("copy") / "talk.txt"

    async def script(pilot, app):
        await typed(pilot, "how much seed")
        await pilot.press("up")
        assert app.focused.value == "how much seed"
        await pilot.press("down")
        assert app.focused.value == ""
        app.focused.value = f"go copy {file}"
        await pilot.press("enter")
        await pilot.pause()

    walked(home, TODAY, script)
    assert file.read_text().startswith("> how much seed\n31.2 to 41.6 lb")


def test_a_change_in_chat_is_on_the_screen_a_second_later_and_the_other_way_round(home):
    async def script(pilot, app):
        chat(home, TODAY, "took the soil test today")
        for _ in range(30):
            await asyncio.sleep(0.1)
            if app.main.view.stage("test").state == "done":
                break
        assert app.main.view.stage("test").state == "done"
        chat(home, TODAY, "it is 900 sq ft", lawn="Elm 4")  # a lawn that was begun elsewhere
        await app.main.watch_record()
        await typed(pilot, "first kill spray done today")
        return app.main.desk.lawns, session(home, TODAY, LAWN).state(LAWN).applied.keys()

    lawns, applied = walked(home, TODAY, script)
    assert lawns == (LAWN, "Elm 4")
    assert {"soil.test", "kill.first"} <= set(applied)


def test_undo_takes_back_what_was_told_of_the_lawn_in_view(home):
    chat(home, TODAY, "took the soil test today")
    chat(home, TODAY, "it is 900 sq ft", lawn="Elm 4")

    async def script(pilot, app):
        await app.main.go_to_lawn(LAWN)
        await app.main.turn_to("record")
        await pilot.press("ctrl+t")
        await pilot.pause()
        return app.main.view.stage("test").state

    assert walked(home, TODAY, script) == "due"
    last = recorded(home)[-1]
    assert last[:2] == ("undone", LAWN)
    assert session(home, TODAY).state("Elm 4").facts


def test_undo_of_another_day_asks_first(home):
    async def script(pilot, app):
        await app.main.turn_to("record")
        await focus(pilot, app, "record-undo")
        await pilot.press("enter")
        await pilot.pause()
        return app.focused.id, app.focused.value

    assert walked(home, TODAY, script) == ("ask", "undo anyway")
    assert len(texts(home)) == 5


# lawns, shelf, keys ------------------------------------------------------------------------------------------------------


def test_all_lawns_stand_with_what_is_lost_due_and_slack_and_one_is_picked(home):
    chat(home, "2026-07-18", "it is 4,200 sq ft of kentucky bluegrass", "start the overseeding program on 2026-09-05 with the light liquid program",
         lawn="Alder Row 7")  # fmt: skip
    chat(home, "2026-07-18", "it is 900 sq ft", lawn="Elm 4")

    async def script(pilot, app):
        opened = app.main.desk.lawn
        await pilot.press("f3")
        await pilot.pause()
        text = shown(app)
        await pilot.press("escape")
        await pilot.press("down", "enter")
        await pilot.pause()
        return opened, text, app.main.desk.lawn, app.main.page

    opened, text, lawn, page = walked(home, "2026-09-01", script, (100, 30))
    assert opened == "Alder Row 7"  # the one due first
    assert "3 lawns on record" in text
    assert "lost: soil test" in text or "late" in text
    assert "no program yet" in text
    assert (lawn, page) == (LAWN, "walk")


def test_the_shelf_page_says_what_chat_says(home):
    chat(home, TODAY, "i have 60 lb of granular starter", "my granular starter is 10-20-10, 25 lb bags at $24 a bag")

    async def script(pilot, app):
        await pilot.press("f4")
        await pilot.pause()
        return {one.id: one.answer for one in app.main.pages["shelf"].query(Telling)}

    found = walked(home, TODAY, script)
    for name, line in (("shelf", "what's on the shelf"), ("buy", "shopping list"), ("load", "what's due this week")):
        answer = next(turn(line, session(home, TODAY, LAWN)))[1]
        assert to_text(found[f"shelf-{name}"]) == to_text(answer)


def test_a_table_of_actions_feeds_keys_foot_help_palette_and_typed_words(home):
    assert len({one.key for one in ACTIONS}) == len(ACTIONS)
    assert all(one.typed or one.id in ("swap", "command_palette") for one in ACTIONS)
    assert all(typed_action(one.typed) == one.id for one in ACTIONS if one.typed)
    assert typed_action("go with the granular program") == ""

    async def script(pilot, app):
        await pilot.press("f1")
        await pilot.pause()
        sheet = str(app.screen.query_one("Static").render())
        await pilot.press("escape")
        await pilot.pause()
        return sheet, {one.title for one in app.get_system_commands(app.screen)}, shown(app)

    sheet, commands, text = walked(home, TODAY, script, (160, 50))
    for action in ACTIONS:
        assert action.words in sheet
        if action.at_foot:
            assert f"{key_words(action.key)} {action.short}" in text
    assert len(commands) == len(ACTIONS) - 2 + 13 + 1  # every action, every stage, every lawn


def test_what_is_typed_for_an_action_does_it(home):
    async def script(pilot, app):
        found = []
        for words in ("go lawns", "go shelf", "go record", "go form", "go walk", "go on", "go now", "go back"):
            await typed(pilot, words)
            found.append((app.main.page, app.main.stage))
        await typed(pilot, "go stage 9")
        found.append((app.main.page, app.main.stage))
        await typed(pilot, "go stage 99")
        return found, app.main.query(Said).first().answers[0].headline

    found, words = walked(home, TODAY, script)
    assert [page for page, _ in found] == ["lawns", "shelf", "record", "form", "walk", "walk", "walk", "walk", "walk"]
    assert [stage for _, stage in found[5:]] == ["clear", "test", "choose", "stand"]
    assert words == "There is no stage 99; they are numbered 1 to 13."
    assert len(texts(home)) == 5


def test_the_palette_brings_a_page_up(home):
    async def script(pilot, app):
        await pilot.press("ctrl+p")
        await pilot.pause()
        await typed(pilot, "shelf", enter=False)
        await asyncio.sleep(0.3)
        await pilot.press("enter")
        for _ in range(10):
            await pilot.pause()
        return app.main.page

    assert walked(home, TODAY, script) == "shelf"


def test_tab_reaches_everything_that_can_be_pressed(home):
    async def script(pilot, app):
        for page in PAGES:
            await app.main.turn_to(page)
            await pilot.pause()
            hidden = {one for other in PAGES if other != page for one in app.main.pages[other].query("*")}
            wanted = {one for one in app.main.query("*") if one.focusable} - hidden
            met = set()
            for _ in range(len(wanted) + 1):
                met.add(app.focused)
                app.main.focus_next()  # what Tab does
            assert not wanted - met, page
            assert len(wanted) >= 3

    walked(home, "2026-09-12", script)


# the form ----------------------------------------------------------------------------------------------------------------


def entry(app, name):
    return next(one for one in app.main.pages["form"].query(Entry) if one.hole.name == name)


def beside(app, name):
    held = entry(app, name)
    return str(held.query_one(".beside").render()) or str(held.query_one(".under").render())


def test_the_first_form_by_keyboard_alone_is_what_chat_would_have_recorded(tmp_path):
    walk_home, chat_home = tmp_path / "walk", tmp_path / "chat"

    async def script(pilot, app):
        assert app.main.page == "form"
        assert app.focused.id == "form-name"
        assert app.focused.value == "home lawn"
        for words in ("Oak Row 9", "70 x 80 minus 20 x 20", "tall fescue", "maryland", "sep 12"):
            await typed(pilot, words, by_hand=len(words) < 10)
        await focus(pilot, app, "fed-granular")
        await pilot.press("enter")
        await focus(pilot, app, "form-begin")
        await pilot.press("enter")
        await pilot.pause()
        return app.main.page, app.main.view.plan.name, app.main.view.in_hand.key

    assert walked(walk_home, TODAY, script) == ("walk", "fall renovation with granular feeds", "test")
    chat(
        chat_home,
        TODAY,
        "it is 5,200 sq ft",
        "it is tall fescue",
        "it is in maryland",
        "seed day is sep 12",
        lawn="Oak Row 9",
    )
    chat(chat_home, TODAY, "start the renovation program on 2026-09-12 with the granular program", lawn="Oak Row 9")
    assert recorded(walk_home) == recorded(chat_home)


def test_a_wrong_entry_in_every_field_of_the_form_is_answered_beside_it(tmp_path):
    async def script(pilot, app):
        found = {}
        for name, value in (
            ("name", "???"),
            ("area", "zzqq"),
            ("species", "zzqq"),
            ("state", "zzqq"),
            ("seed_day", "sep 31"),
        ):
            field = app.main.query_one(f"#form-{name}", Input)
            field.focus()
            field.value = value
            await pilot.pause()
            found[name] = (entry(app, name).has_class("-wrong"), beside(app, name))
            await pilot.press("enter")
            assert app.focused is field  # it is not left before it can be read
            field.value = ""
            await pilot.pause()
        return found

    found = walked(tmp_path, TODAY, script)
    assert all(wrong for wrong, _ in found.values())
    assert "needs a name" in found["name"][1]
    assert "is no ground that I can read" in found["area"][1]
    assert "is no grass that I can read" in found["species"][1]
    assert "is no state that I can read" in found["state"][1]
    assert "There is no day 9/31/2026" in found["seed_day"][1]
    assert not (tmp_path / "lawns.sqlite").exists()


def test_a_form_that_was_left_in_the_middle_is_picked_up(tmp_path):
    async def half(pilot, app):
        await typed(pilot, "Oak Row 9")
        await typed(pilot, "4,200 sq ft")
        await typed(pilot, "tall f", enter=False)  # and the program is gone
        await pilot.pause()

    walked(tmp_path, TODAY, half)
    assert texts(tmp_path) == ["it is 4,200 sq ft"]

    async def again(pilot, app):
        return app.main.page, app.main.desk.lawn, beside(app, "area"), beside(app, "species")

    assert walked(tmp_path, "2026-08-11", again) == ("form", "Oak Row 9", "on record", "open")


def test_an_entry_is_read_while_it_is_typed(tmp_path):
    async def script(pilot, app):
        field = app.main.query_one("#form-area", Input)
        field.focus()
        found = []
        for value in ("70", "70 x 80", "70 x 80 minus 20 x 20", "1/4 acre"):
            field.value = value
            await pilot.pause()
            found.append(beside(app, "area"))
        return found

    assert walked(tmp_path, TODAY, script)[1:] == ["5,600 sq ft", "5,200 sq ft", "10,890 sq ft"]


# a whole season, many lawns, and noise --------------------------------------------------------------------------------------

SEASON = (
    ("2026-08-10", ("soil-test", "kill-first"), ("soil test done today", "first kill spray done today")),
    ("2026-09-01", ("kill-second", "order-seed", "utility-call"),
     ("second kill spray done today", "seed order done today", "utility call done today")),
    ("2026-09-12", ("seed", "feed-first"), ("seeded today", "first feed done today")),
    ("2026-09-23", ("up",), ("it's up",)),
    ("2026-10-05", ("cut-first", "stand"), ("mowed today", "counted the stand today")),
    ("2026-10-24", ("feed-second",), ("put the second feed down today",)),
    ("2027-03-20", ("spring-check",), ("did the spring check today",)),
)  # fmt: skip


def test_a_whole_season_through_the_screens_is_the_same_record_as_in_chat(home, tmp_path_factory):
    other = copied(tmp_path_factory.mktemp("chat"), home)
    for day, steps, lines in SEASON:

        async def script(pilot, app, steps=steps):
            for step in steps:
                stage = next(
                    one.key for one in app.main.view.stages if step in {each.id.replace(".", "-") for each in one.steps}
                )
                await app.main.go_to_stage(stage)
                app.main.query_one(f"#done-{step}").focus()
                await pilot.press("enter")
                await pilot.pause()

        walked(home, day, script)
        chat(other, day, *lines)
    assert recorded(home) == recorded(other)


def test_forty_lawns_and_three_hundred_entries_scroll_without_a_pause(home, capsys):
    from assistant.lawn.events import Event

    store = Store(home)
    store.append([Event("note", LAWN, f"note {n}", TODAY, TODAY) for n in range(300)])
    for n in range(40):
        chat(home, "2026-07-18", "it is 5,200 sq ft of tall fescue", BEGUN[3], lawn=f"Lot {n}")

    async def script(pilot, app):
        slowest = []
        for page, listed in (("lawns", "#lawn-list"), ("record", "#record-list")):
            await app.main.turn_to(page)
            app.main.query_one(listed).focus()
            await pilot.pause()
            passes = []
            for _ in range(2):  # what a busy machine adds does not come twice at the same key
                times = []
                for key in ["first", *["cursor_down"] * 8, *["page_down"] * 6, "last"]:
                    began = time.perf_counter()
                    getattr(app.main.query_one(listed), f"action_{key}")()
                    app.screen._compositor.render_strips()
                    times.append(time.perf_counter() - began)
                    await pilot.pause()
                passes.append(times)
            slowest.append(max(min(pair) for pair in zip(*passes, strict=True)))
        return slowest

    slowest = walked(home, TODAY, script, (100, 30))
    with capsys.disabled():
        print(f"\n  slowest step of a scroll: lawns {1000 * slowest[0]:.0f} ms, record {1000 * slowest[1]:.0f} ms")
    assert max(slowest) < 0.05


KEYS = ["tab", "shift+tab", "enter", "space", "up", "down", "left", "right", "pageup", "pagedown", "home", "end", "escape",
        "f1", "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "ctrl+t", "ctrl+n", "ctrl+g", "ctrl+b", "backspace", "delete",
        "a", "5", "x", "0", "space", "slash", "minus", "comma", "question_mark"]  # fmt: skip


@pytest.mark.parametrize("seed", range(2))
def test_any_keys_and_any_sizes_leave_it_standing_and_the_record_whole(home, seed):
    chance = random.Random(seed)

    async def script(pilot, app):
        for n in range(30):
            if n % 8 == 7:
                await pilot.resize_terminal(chance.randint(10, 200), chance.randint(4, 60))
            await pilot.press(chance.choice(KEYS))
        await pilot.pause()
        return shown(app)

    assert walked(home, "2026-09-12", script, chance.choice(SIZES))
    state = session(home, TODAY).state(LAWN)
    assert state.program is not None or state.live is not None
