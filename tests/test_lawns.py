"""All lawns together: what is due, what is late, and what to load, against sums made by hand."""

from datetime import date, datetime, timedelta

import pytest
from icalendar import Calendar

from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.state import fold
from assistant.lawn.store import Store
from assistant.terms import Now
from tests.asking import ligule

KNOWLEDGE = load()
START = datetime(2026, 9, 20)


def said(home, *lines, moment=START):
    session = Session(KNOWLEDGE, Store(home), Now(moment))
    return [next(turn(line, session))[1] for line in lines][-1]


def two_lawns(home):
    said(home, "the back is 5,000 sq ft of tall fescue", moment=datetime(2026, 9, 1))
    said(home, "i seeded the back on sep 1, liquid program", moment=datetime(2026, 9, 1))
    said(home, "the front is 60x70", moment=datetime(2026, 9, 1))
    said(home, "i seeded the front on sep 10, granular program", moment=datetime(2026, 9, 10))


def test_what_is_due_on_which_lawn_and_the_load_for_it(tmp_path):
    two_lawns(tmp_path)
    answer = said(tmp_path, "what's due this week")
    assert answer.headline == "3 steps due by Sep 26 on 2 lawns, 2 late"  # two first feeds, and the back's first cut
    loads = {figure.label: figure for figure in answer.figures if figure.label.startswith("load")}
    assert loads["load, liquid starter"].high == 5 * 12  # 5,000 sq ft at 12 fl oz per 1,000
    assert loads["load, root stimulant"].high == 5 * 3
    assert loads["load, granular starter"].high == 60 * 70 / 1000 * 10
    assert "back lawn, first feed, 19 days late" in answer.lines[0]


def test_a_later_step_keeps_its_spacing_from_today_where_the_one_before_is_not_done(tmp_path):
    two_lawns(tmp_path)
    for days in (0, 5, 11):
        moment = START + timedelta(days=days)
        answer = said(tmp_path, "show the program for the back", moment=moment)
        second = next(figure for figure in answer.figures if figure.label == "second feed")
        assert (second.day - moment.date()).days >= 21


def test_nothing_due_says_when_the_next_step_is(tmp_path):
    two_lawns(tmp_path)
    said(tmp_path, "put the first feed down on the back today", "put the first feed down on the front today")
    said(tmp_path, "mowed the back today")
    answer = said(tmp_path, "what's due this week")
    assert answer.headline.startswith("Nothing is due")
    assert "Oct" in answer.lines[0]


def test_no_program_at_all(tmp_path):
    assert said(tmp_path, "what's due this week").lines == ("No lawn has a program running.",)


def test_the_calendar_is_read_by_another_parser_and_moves_instead_of_doubling(tmp_path):
    two_lawns(tmp_path)
    first = entries(tmp_path, "2026-09-20")
    assert len(first) == 15  # eight steps with liquid feeds, seven with granular ones
    assert first["back lawn: second feed"].start == date(2026, 10, 11)  # 21 days from today, the first is not done
    said(tmp_path, "put the first feed down on the back today")
    later = entries(tmp_path, "2026-09-25")
    assert {name: entry["uid"] for name, entry in later.items()} == {
        name: entry["uid"] for name, entry in first.items()
    }
    assert later["back lawn: first feed"]["sequence"] > first["back lawn: first feed"]["sequence"]


def test_a_name_cannot_break_out_of_its_line(tmp_path):
    said(tmp_path, "i seeded on sep 1, liquid program", moment=datetime(2026, 9, 1))
    run = ligule("ask", "--lawn", "a,b;c\\n\nBEGIN:VEVENT", "seeded sep 2, liquid program", home=tmp_path)
    assert run.returncode == 0
    text = ligule("calendar", home=tmp_path).stdout.decode()
    assert text.splitlines().count("BEGIN:VEVENT") == len(Calendar.from_ical(text).walk("VEVENT")) == 16


def entries(home, today):
    text = ligule("calendar", home=home, today=today).stdout.decode()
    return {str(entry["summary"]): entry for entry in Calendar.from_ical(text).walk("VEVENT")}


def test_the_sheet_of_the_week_as_markdown_and_as_html(tmp_path):
    two_lawns(tmp_path)
    shown = ligule("sheet", home=tmp_path, today="2026-09-20").stdout.decode()
    assert "## back lawn: first feed, Tue 1 September 2026, 19 days late" in shown
    assert "60 fl oz for 5,000 sq ft" in shown
    assert "42 lb of granular starter" in shown
    assert "The product label is the law" in shown
    page = tmp_path / "week.html"
    assert ligule("sheet", "--to", str(page), home=tmp_path, today="2026-09-20").returncode == 0
    text = page.read_text(encoding="utf-8")
    assert "<script" not in text
    assert text.count("<h2>") == 4


def test_a_lawn_named_like_html_stays_a_name(tmp_path):
    line = "seeded sep 1, liquid program"
    ligule("ask", "--lawn", "<b>x</b>", line, home=tmp_path, today="2026-09-02")
    page = tmp_path / "week.html"
    ligule("sheet", "--to", str(page), home=tmp_path, today="2026-09-20")
    text = page.read_text(encoding="utf-8")
    assert "<b>" not in text
    assert "&lt;b&gt;x" in text


def test_a_program_that_sows_nothing_is_counted_from_the_day_it_began(tmp_path):
    def said(*words, today="2026-08-03", command="ask"):
        return ligule(command, "--lawn", "court", *words, home=tmp_path, today=today).stdout.decode()

    said("it is 5,200 sq ft of bermudagrass", today="2026-08-01")
    said("start the warm season fall program", today="2026-08-01")
    assert said("what's next").startswith("Last nitrogen feed: day 0 to 35, Sat 1 August 2026")
    assert said("show the plan").startswith("Warm-season fall, day 0 Sat 1 August 2026.")
    assert "done on Mon 3 August 2026, day 2" in said("put the last nitrogen feed down today")
    assert "last nitrogen feed" not in said("what's due this week")
    card = said("--card", command="sheet")
    assert card.startswith("# court: day 0 Sat 1 August 2026")
    assert "Green shows" not in card
    # it is no seed day: what hangs on young grass is not said of a lawn that stands
    assert "seeded" not in said("can I mow today")


@pytest.mark.parametrize(
    ("line", "lawn"),
    [
        ("Creek Side: 4,400 sq ft, kbg", "Creek Side"),
        ("Fern Street: 8.8k, tall fescue", "Fern Street"),
        ("it is called Oak Hollow, 3,000 sq ft of kbg", "Oak Hollow"),
    ],
)
def test_a_name_before_the_facts_begins_a_lawn(tmp_path, line, lawn):
    said(tmp_path, "the back is 5,000 sq ft of tall fescue")
    said(tmp_path, line)
    assert set(Store(tmp_path).lawns()) == {"back lawn", lawn}


@pytest.mark.parametrize("line", ["size: 5,000 sq ft of kbg", "my lawn: 5,000 sq ft of kbg", "area: 60x70, kbg"])
def test_words_that_mean_something_else_begin_none(tmp_path, line):
    said(tmp_path, "my lawn is 5,000 sq ft of tall fescue")
    said(tmp_path, line)
    assert Store(tmp_path).lawns() == ("home lawn",)


# what the record takes, and what it does not ---------------------------------------------------------------------------


def told(home, *lines):
    return said(home, *lines, moment=datetime(2026, 9, 5))


def test_a_watering_is_recorded_as_nothing_else(tmp_path):
    told(tmp_path, "the front is 2,400 sq ft of tall fescue")
    told(tmp_path, "seeded aug 29, granular")
    before = len(Store(tmp_path).events())
    assert "what was done" in told(tmp_path, "watered it 20 minutes this morning").headline
    assert len(Store(tmp_path).events()) == before


def test_a_deed_is_no_answer_to_the_question_for_a_day(tmp_path):
    told(tmp_path, "the front is 2,400 sq ft of tall fescue", "is it too late to seed", "mowed the front today")
    assert {event.kind for event in Store(tmp_path).events()} == {"told", "mowed"}


@pytest.mark.parametrize(
    "words", ["actually it was august 24", "no i seeded it august 24 not august 22", "i seeded it aug 24 not aug 22"]
)
def test_a_seed_day_told_wrongly_is_put_right_by_the_next_line(tmp_path, words):
    answer = told(tmp_path, "the back is 3,000 sq ft of kbg", "i seeded it on august 22", words, "when did i seed")
    assert "Mon 24 August 2026" in answer.headline


def test_a_herbicide_on_young_seedlings_is_warned_of(tmp_path):
    answer = told(tmp_path, "seeded tall fescue on aug 29", "granular", "sprayed 2,4-d this morning")
    assert any(line.startswith("New grass, day 7: 2,4-D on it waits 2 to 3 mowings") for line in answer.lines)


def test_work_on_a_place_is_not_kept_on_another_lawn(tmp_path):
    told(tmp_path, "the back is 3,000 sq ft of kbg", "mowed the front today")
    assert {event.lawn for event in Store(tmp_path).events() if event.kind == "mowed"} == {"front lawn"}
    assert told(tmp_path, "mowed maple st today").status == "refused"


@pytest.mark.parametrize(
    ("line", "seed_day"), [("seeded elm 12 aug 25", "2026-08-25"), ("seeded elm 12 on aug 29", "2026-08-29")]
)
def test_the_number_of_a_house_is_no_day(tmp_path, line, seed_day):
    told(tmp_path, line)
    store = Store(tmp_path)
    assert list(store.lawns()) == ["elm 12"]
    assert str(fold("elm 12", store.events("elm 12")).seed_day) == seed_day


def test_a_piece_changes_the_area_before(tmp_path):
    assert told(tmp_path, "doing a backyard 62x48", "minus a 12x20 patio", "how big is the back").figures[0].low == 2736
    other = tmp_path / "other"
    assert told(other, "its 85 by 70 minus a 12x16 shed", "wait the shed is 12 by 12").figures[0].low == 5806


def test_two_houses_of_a_street_are_two_lawns(tmp_path):
    said(tmp_path, "14 Oak St is 7,300 sq ft of tall fescue", "22 Oak St is 4,100 sq ft of KBG")
    assert Store(tmp_path).lawns() == ("14 Oak St", "22 Oak St")
    assert said(tmp_path, "how big is 14 oak st").figures[0].low == 7300
    assert said(tmp_path, "how much starter for 22 Oak St").figures[0].high == pytest.approx(4.1 * 12)


def test_a_street_alone_is_asked_about_where_two_lawns_lie_on_it(tmp_path):
    said(tmp_path, "14 Oak St is 7,300 sq ft", "22 Oak St is 4,100 sq ft", "9 Elm Ct is 11,400 sq ft")
    before = len(Store(tmp_path).events())
    assert said(tmp_path, "mowed oak today").choices == ("14 Oak St", "22 Oak St")
    assert len(Store(tmp_path).events()) == before
    said(tmp_path, "mowed elm today")
    assert [event.lawn for event in Store(tmp_path).events()[before:]] == ["9 Elm Ct"]


def test_a_street_that_is_on_no_record_is_told_back(tmp_path):
    said(tmp_path, "14 Oak St is 7,300 sq ft of tall fescue")
    before = len(Store(tmp_path).events())
    for line in ("birch: sprayed 3 oz of quinclorac on the back yesterday", "mowed birch today"):
        assert "birch" in said(tmp_path, "14 oak st, what next", line).headline
    assert len(Store(tmp_path).events()) == before


@pytest.mark.parametrize("line", ["topdress 1/4 in on 6k", "a strip 12 by 40 ft", "40 ft circle", "12 oak trees"])
def test_figures_before_other_words_are_no_addresses(tmp_path, line):
    session = Session(KNOWLEDGE, Store(tmp_path), Now(START))
    parses = [parse for parse, _ in turn(line, session)]
    assert not any(name.type == "site" for parse in parses for name in parse.names)


def test_a_lawn_on_record_may_stand_before_a_colon(tmp_path):
    said(tmp_path, "22 Alder Row is 3,100 sq ft of kbg", "22 alder row: mowed today")
    assert [event.lawn for event in Store(tmp_path).events()] == ["22 Alder Row", "22 Alder Row"]


def test_the_analysis_that_was_told_is_what_went_down(tmp_path):
    said(tmp_path, "the lawn is 9,800 sq ft of tall fescue", "seeded sep 8, granular")
    said(tmp_path, "fed it yesterday with 46-0-0, 20 lb")
    answer = said(tmp_path, "how much n went down this year")
    assert answer.figures[0].high == pytest.approx(20 * 0.46 / 9.8)


def test_a_feed_on_seed_day_went_down_on_that_day(tmp_path):
    said(tmp_path, "the back is 7,000 sq ft of kbg", "seeded the back sep 8, granular")
    said(tmp_path, "fed the back with starter on seed day, 70 lb of 18-24-12")
    assert Store(tmp_path).events()[-1].happened_on == "2026-09-08"


def test_a_feed_on_a_lawn_that_nothing_was_sown_on_is_kept(tmp_path):
    said(tmp_path, "14 Oak St is 7,300 sq ft of tall fescue", "put 22 lb of 24-0-6 on 14 oak st today")
    event = Store(tmp_path).events()[-1]
    assert (event.lawn, event.body["put"][0]["analysis"]) == ("14 Oak St", [24.0, 0.0, 6.0])


def test_the_size_of_a_washed_part_is_not_taken_for_the_lawn(tmp_path):
    said(tmp_path, "the lawn is 9,800 sq ft of tall fescue", "seeded sep 8, granular")
    said(tmp_path, "some of it is washed out", "its like 15 by 30")
    assert said(tmp_path, "how big is my lawn").figures[0].low == 9800


def test_a_question_about_both_lawns_is_answered_for_each_and_together(tmp_path):
    said(tmp_path, "front is 4,200 sq ft of tall fescue", "back is 6,500 sq ft of tall fescue")
    session = Session(KNOWLEDGE, Store(tmp_path), Now(START))
    front, back = [answer for _, answer in turn("how much seed for both", session)]
    assert (front.figures[0].low, back.figures[0].low) == pytest.approx((4.2 * 6, 6.5 * 6))
    assert "Both together: 64.2 to 85.6 lb of seed." in back.lines


def test_places_told_in_one_line_are_lawns_of_their_own(tmp_path):
    session = Session(KNOWLEDGE, Store(tmp_path), Now(START))
    told = [
        answer for _, answer in turn("front is 4200, back 6500 and the side strip is 20 by 90, tall fescue", session)
    ]
    areas = {
        lawn: fold(lawn, Store(tmp_path).events(lawn)).facts["area"].amount.low for lawn in Store(tmp_path).lawns()
    }
    assert len(told) == 3
    assert areas == {"front lawn": 4200, "back lawn": 6500, "side yard": 1800}


def test_the_total_of_three_lawns_is_said_once(tmp_path):
    said(tmp_path, *(f"{one} Oak St is {one},000 sq ft of tall fescue" for one in (2, 3, 5)))
    session = Session(KNOWLEDGE, Store(tmp_path), Now(START))
    answers = [answer for _, answer in turn("how much seed for all of them", session)]
    totals = [line for answer in answers for line in answer.lines if "together" in line]
    assert totals == ["All together: 60 to 80 lb of seed."]
