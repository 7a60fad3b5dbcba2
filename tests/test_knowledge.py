"""The knowledge base: faults are told by file and line, the image is only a cache, every source that is named exists."""

import ast
import inspect
import os
import re
import shutil
from datetime import datetime

import pytest
import yaml

import assistant
from assistant.knowledge_base import load
from assistant.knowledge_base.files import BrokenKnowledge
from assistant.parsing import Vocabulary, parse_line
from assistant.parsing import reading as lines
from assistant.parsing.indexing import learned_of
from assistant.skills import skill_of
from assistant.skills.practice import answer
from assistant.skills.turn import Turn
from assistant.skills.worked import formula_of
from assistant.terms import Now, Parse, Slot
from knowledge import FOLDER


@pytest.fixture
def copy(tmp_path):
    return shutil.copytree(FOLDER, tmp_path / "knowledge", ignore=shutil.ignore_patterns("__pycache__"))


def faults(folder):
    with pytest.raises(BrokenKnowledge) as problem:
        load(None, folder)
    return str(problem.value)


def change(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_every_fault_is_told_at_once_by_line(copy):
    change(copy / "feeding.yaml", ", source: uc-starter,", ",")
    change(copy / "mowing.yaml", "low: 0.3333333333333333", "low: 0.5")
    change(copy / "products.yaml", "unit: floz", "unit: lbs/M")
    change(copy / "species.yaml", "ttf", "kbg")
    change(copy / "intents" / "mow.yaml", "needs: [height]", "needs: [highness]")
    text = faults(copy)
    assert re.search(r"feeding\.yaml:\d+  nitrogen_at_seeding has a figure without a source", text)
    assert re.search(r"mowing\.yaml:\d+  most_of_leaf is upside down", text)
    assert re.search(r'products\.yaml:\d+  .*unknown unit "lbs/M". Write unit: lbs, per: 1000 sq_ft', text)
    assert re.search(r'species\.yaml:\d+  "kbg" names both', text)
    assert re.search(r'intents/mow\.yaml:\d+  mow.height needs "highness"', text)
    assert "faults in 5 of" in text


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        ("feeding.yaml", "source: uiuc-n", "source: nobody", 'names the source "nobody"'),
        ("intents/words.yaml", '"on"', "on", "is read as true"),
        ("intents/words.yaml", "take off,", 'take "off",', "nobody types them"),
        ("names.yaml", "metric: {", "metric: {called: [a], ", "stands twice"),
        ("mowing.yaml", "most_of_leaf:", "most_of_leaf: [", "not readable YAML"),
        (
            "thresholds.yaml",
            'herbicide: "it wants 24 dry hours, or',
            "herbicide: it wants 24 dry hours, or",
            "in quotes",
        ),
    ],
)
def test_a_fault_is_named(copy, file, old, new, said):
    change(copy / file, old, new)
    text = faults(copy)
    assert file in text
    assert said in text


def test_the_image_is_only_a_cache(tmp_path):
    cache = tmp_path / "cache"
    first = load(cache)
    image = next(cache.glob("*.image"))
    whole = image.read_bytes()
    middle = len(whole) // 2
    struck = whole[:middle] + b"x" * 40 + whole[middle + 40 :]
    for damage in (b"", b"{}", whole[:middle], struck, whole[:-40] + b"x" * 40, b"\x00" * 5000):
        image.write_bytes(damage)
        again = load(cache)
        for name in first.sections():
            assert again.section(name) == first.section(name)
        assert image.read_bytes() == whole


def test_an_image_that_goes_away_while_it_is_read_is_made_again(tmp_path):
    cache = tmp_path / "cache"
    load(cache)
    held = load(cache)
    held.section("species")
    shutil.rmtree(cache)
    assert held.section("mowing") == load(None).section("mowing")


def test_files_that_have_not_moved_are_not_read_again(copy, tmp_path, monkeypatch):
    monkeypatch.setattr("assistant.knowledge_base.noted._SETTLED", -1.0)  # the day of change cannot be set back
    first = load(tmp_path / "cache", copy)
    monkeypatch.setattr("assistant.knowledge_base._contents", lambda *_: pytest.fail("read again"))
    assert load(tmp_path / "cache", copy).section("mowing") == first.section("mowing")


def test_a_file_of_the_same_length_and_day_is_read_again(copy, tmp_path, monkeypatch):
    monkeypatch.setattr("assistant.knowledge_base.noted._SETTLED", -1.0)
    before = load(tmp_path / "cache", copy)
    stood = (copy / "mowing.yaml").stat()
    change(copy / "mowing.yaml", "never more than a third", "never more than a fifth")
    os.utime(copy / "mowing.yaml", ns=(stood.st_atime_ns, stood.st_mtime_ns))
    after = load(tmp_path / "cache", copy)
    assert before.key != after.key
    assert "a fifth" in after.rows("mowing.most_of_leaf")[0].note


def test_files_changed_a_moment_ago_are_read_again(copy, tmp_path):
    load(tmp_path / "cache", copy)
    assert not list((tmp_path / "cache").glob("files-*.json"))


def test_a_changed_file_makes_another_image(copy, tmp_path):
    before = load(tmp_path / "cache", copy)
    change(copy / "mowing.yaml", "never more than a third", "at most a third")
    after = load(tmp_path / "cache", copy)
    assert before.key != after.key
    assert "at most a third" in after.rows("mowing.most_of_leaf")[0].note


def test_old_images_do_not_pile_up(copy, tmp_path):
    for n in range(8):
        change(copy / "mowing.yaml", "never more than a third", f"never more than a third {n}")
        load(tmp_path / "cache", copy)
        change(copy / "mowing.yaml", f"never more than a third {n}", "never more than a third")
    assert len(list((tmp_path / "cache").glob("*.image"))) == 4


OWN = """name: quick green-up
called: [quick green up]
source: common practice
steps:
  - seed
  - {id: feed.mine, title: my feed, kind: feed, counted_from: seed_day, day: {low: 14, high: 21, unit: day, source: common practice}, why: it worked last year}
  - cut.first
forms: [none]
"""


def own_files(folder, **files):
    """The knowledge with files of the user's own: `practices__mine` is practices/mine.yaml."""
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return load(None, own=folder)


def named(made, line, words):
    """True where a fault of the user's file is told by its line, in those words."""
    return any(f"mine.yaml:{line}  " in fault and words in fault for fault in made.left_out)


def test_a_program_of_the_users_own_is_one_like_any_other(tmp_path):
    made = own_files(tmp_path, programs__mine=OWN)
    assert made.left_out == ()
    assert [step["id"] for step in made.section("programs")["mine"]["steps"]] == ["seed", "feed.mine", "cut.first"]


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("  - seed\n", "  - seedd\n", 5, '"seedd" is no shared step'),
        ("kind: feed", "kind: fed", 6, 'of the kind "fed"'),
        ("low: 14", "low: 44", 6, "upside down"),
        (", source: common practice}, why", "}, why", 6, "without a source"),
        (", why: it worked last year", "", 6, "lacks why"),
        ("forms: [none]", "colour: green", 8, 'no field "colour"'),
        ("counted_from: seed_day", "counted_from: moon", 6, '"moon"'),
        ("steps:", "stepps:", 1, "needs steps"),
        ("[quick green up]", "[quick green up", 3, "not readable YAML"),
    ],
)
def test_a_broken_program_is_named_by_line_and_the_rest_answers(tmp_path, old, new, line, words):
    made = own_files(tmp_path, programs__mine=OWN.replace(old, new, 1))
    assert "mine" not in made.section("programs")
    assert "fall_liquid" in made.section("programs")
    assert named(made, line, words), made.left_out


def test_a_program_cannot_take_the_name_of_a_shipped_one(tmp_path):
    assert "Choose another" in own_files(tmp_path, programs__renovation=OWN).left_out[0]


OWN_ENTRY = """new_seed_daily:
  topic: water
  title: Watering new seed
  asks: [how often do i water new seed, watering my seed, water the seed, seed water, how wet, keep it moist]
  figures:
    times: {low: 4, high: 4, unit: "", per: day, source: my-trial}
  short: By my own trial {times} times a day.
  why: It stayed moist.
"""
OWN_SOURCE = "my-trial: {title: Trial on my own lawn, publisher: myself, number: null, year: 2026, address: null}\n"


def test_an_entry_of_the_users_own_stands_over_the_shipped_one_and_says_so(tmp_path):
    made = own_files(tmp_path, practices__mine=OWN_ENTRY, sources=OWN_SOURCE)
    assert made.left_out == ()
    answer = practice_answer(made, "new_seed_daily")
    assert answer.headline == "By my own trial 4 times a day."
    assert "This entry is from your own folder." in answer.lines
    assert "own folder" not in " ".join(practice_answer(made, "one_third_rule").lines)


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("source: my-trial", "source: nobody", 6, '"nobody"'),
        (", source: my-trial", "", 6, "without a source"),
        ("By my own trial", "By my own 4 trials", 7, "bare figure 4"),
        ("{times} times", "{often} times", 7, "{often}"),
        ("topic: water", "topic: wet", 2, '"wet"'),
        ("  why: It stayed moist.", "  because: It stayed moist.", 1, "lacks why"),
        ('unit: ""', "unit: furlong", 6, '"furlong"'),
        ("low: 4", "low: 5", 6, "upside down"),
        ("  why:", "  related: [nowhere]\n  why:", 8, '"nowhere"'),
        ("  why:", "  cautions: [dragons]\n  why:", 8, '"dragons"'),
    ],
)
def test_a_broken_entry_is_named_by_line_and_the_shipped_one_answers(tmp_path, old, new, line, words):
    made = own_files(tmp_path, practices__mine=OWN_ENTRY.replace(old, new, 1), sources=OWN_SOURCE)
    assert named(made, line, words), made.left_out
    assert "own trial" not in practice_answer(made, "new_seed_daily").headline


def practice_answer(knowledge, key):
    turn = Turn(Now(datetime(2026, 9, 5), False), knowledge, Parse(""))
    return answer(turn, Slot("entry", f"practices.{key}"))


def test_a_cache_that_cannot_be_written_costs_only_time(tmp_path):
    (tmp_path / "file").write_text("no folder")
    assert load(tmp_path / "file" / "cache").section("species")


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.yaml")), ids=lambda path: path.stem)
def test_both_loaders_of_yaml_agree(path):
    text = path.read_text(encoding="utf-8")
    assert yaml.load(text, Loader=yaml.SafeLoader) == yaml.load(
        text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    )


def test_every_formula_names_a_source_that_exists():
    sources = load(None).section("sources")
    folder = FOLDER.parent / "assistant" / "calculations"
    for path in sorted(folder.glob("[a-z]*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                doc = ast.get_docstring(node) or ""
                named = re.findall(r"Source[^:]*: ([^\s,()]+)", doc)
                assert named, f"{path.name}: {node.name} names no source"
                assert named[0].rstrip(".") in sources or "common practice" in doc or "calendar" in doc, (
                    f"{path.name}: {named}"
                )


def test_the_code_holds_no_path_of_a_machine():
    for path in sorted((FOLDER.parent / "assistant").rglob("*.py")):
        assert not re.search(r"/(home|work|root)/", path.read_text(encoding="utf-8")), path
    assert assistant.__version__


def test_every_formula_that_an_intent_names_gets_what_it_needs():
    lacking = []
    for intent, entry in Vocabulary(load(None)).intents.items():
        works = entry["works"]
        for one in [works, *works.get("also", ())] if works else []:
            parameters = inspect.signature(formula_of(one["formula"])).parameters.values()
            needed = {spec.name for spec in parameters if spec.default is spec.empty}
            lacking += [(intent, one["formula"], name) for name in needed - set(entry["slots"])]
    assert not lacking


def test_every_skill_takes_the_slots_of_its_intent():
    """A slot that its skill does not take would be answered with `those figures do not go together`."""
    foreign = []
    for intent, entry in Vocabulary(load(None)).intents.items():
        if not entry["works"]:
            parameters = inspect.signature(skill_of(intent, entry)).parameters
            if not any(one.kind is one.VAR_KEYWORD for one in parameters.values()):
                foreign += [(intent, name) for name in entry["slots"] if name not in parameters]
    assert not foreign


# what was learned of all that is asked --------------------------------------------------------------------------------


def test_something_was_learned_of_every_entry_and_of_nothing_else():
    """`python -m tests.learning` makes the file anew; an entry that it does not hold is found by the sum of its asks."""
    knowledge = load(None)
    assert learned_of(knowledge.section("learned")).keys() == knowledge.section("asked").keys()


def test_where_nothing_was_learned_an_entry_is_found_by_its_asks(copy):
    (copy / "learned.txt").write_text("# nothing yet\n", encoding="utf-8")
    vocabulary = Vocabulary(load(None, copy))
    read = [
        parse_line(ask, vocabulary, Now(datetime(2026, 9, 5)))[0] for ask in ("how much seed for 4000 sq ft", "undo")
    ]
    assert [parse.intent for parse in read] == ["seed.amount", "other.undo"]
    entry = "practices.straw_how_much"
    asked = vocabulary.knowledge.section("asked")[entry]
    found = vocabulary.finder.find(lines.read(asked[0], vocabulary, Now(datetime(2026, 9, 5))))
    assert max(found, key=lambda one: found[one].like) == entry
