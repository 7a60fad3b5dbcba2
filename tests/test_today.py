"""Is today the day: typed questions with the verdict that is wanted, and every threshold from both sides."""

from datetime import datetime
from pathlib import Path

import pytest
import yaml

from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.terms import Now
from tests.asking import ask_all

QUESTIONS = yaml.safe_load((Path(__file__).parent / "corpus" / "today.yaml").read_text(encoding="utf-8"))
KNOWLEDGE = load()
JOBS = {
    "liquid_feed": "can i spray liquid feed today",
    "granular_feed": "can i put granular fertilizer down today",
    "auxin": "can i spray 2,4-d today",
    "herbicide": "can i spray quinclorac today",
    "seeding": "can i seed today",
    "aerating": "can i aerate today",
    "mowing": "can i mow today",
    "watering": "should i water today",
}
SAID = {
    "temperature": "temperature {} degrees",
    "wind": "wind {} mph",
    "gust": "gusts to {} mph",
    "overnight": "low {} degrees",
    "soil_temperature": "soil {} degrees",
    "water_distance": "{} ft from the creek",
    "rain_fell": "it rained {} inches last night",
}
# far from every edge of its own, for any job that looks at it
FAR = {
    "temperature": {"watering": 70, "seeding": 72, "mowing": 65, "aerating": 65},
    "wind": {},
}


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    questions = [entry["ask"] for entry in QUESTIONS]
    return dict(zip(questions, ask_all(questions, tmp_path_factory.mktemp("home"), "2026-09-20"), strict=True))


@pytest.mark.parametrize("entry", QUESTIONS, ids=lambda entry: entry["ask"][:60])
def test_question(entry, answers):
    answer = answers[entry["ask"]]
    assert (answer["intent"], answer["verdict"]) == (entry["is"], entry["verdict"]), answer["text"]
    assert entry["names"] in answer["text"]


def edges():
    """Every edge of the table at which the verdict of a job changes: job, measure, edge, unit, the verdicts below and above."""
    rows = KNOWLEDGE.entry("thresholds.figures")
    for row in rows:
        for other in rows:
            same = (row["job"], row["measure"]) == (other["job"], other["measure"])
            if same and row["high"] == other["low"] and row["verdict"] != other["verdict"] and row["measure"] in SAID:
                yield row["job"], row["measure"], row["high"], row["verdict"], other["verdict"]


def asked(job, measure, value, tmp_path):
    """The answer where all but one measure is far from its edges."""
    rest = {"temperature": FAR["temperature"].get(job, 70), "wind": 5}
    said = {**rest, measure: value}
    line = f"{JOBS[job]}, {', '.join(SAID[one].format(f'{said[one]:g}') for one in said)}, stays dry, ground is fine, grass is dry"
    session = Session(KNOWLEDGE, Store(tmp_path), Now(datetime(2026, 9, 20)), keep=False)
    return next(turn(line, session))[1]


@pytest.mark.parametrize(("job", "measure", "edge", "below", "above"), sorted(set(edges())))
def test_a_threshold_crossed_by_more_than_its_band_changes_the_verdict_and_is_named(
    job, measure, edge, below, above, tmp_path
):
    band = KNOWLEDGE.entry(f"thresholds.bands.{measure}")["high"]
    for value, verdict in ((edge - 1.5 * band, below), (edge + 1.5 * band, above)):
        answer = asked(job, measure, value, tmp_path)
        assert answer.verdict == verdict, answer.headline
        if verdict != "yes":
            number = f"{value:g}"
            assert number in answer.lines[0], answer.lines
    near = asked(job, measure, edge + 0.3 * band, tmp_path)
    assert near.verdict == "care", near.headline
    assert near.headline.startswith("Borderline"), near.headline


def test_delta_t_within_half_a_degree_of_its_edge_is_borderline(tmp_path):
    """75 °F and 30.8 % is 10 °C of Delta T (2011 fit, worked by hand from the printed equation)."""
    for humidity, verdict, words in ((20, "no", "Delta T"), (31, "care", "Borderline"), (60, "yes", "fit")):
        line = f"can i spray 2,4-d today, 75 degrees, humidity {humidity}%, wind 5 mph, no rain, ground is fine, grass is dry"
        session = Session(KNOWLEDGE, Store(tmp_path), Now(datetime(2026, 9, 20)), keep=False)
        answer = next(turn(line, session))[1]
        assert answer.verdict == verdict, answer.headline
        assert words in answer.headline + answer.lines[0]
