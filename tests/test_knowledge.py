"""The knowledge base: faults are told by file and line, the image is only a cache, every source that is named exists."""

import ast
import inspect
import re
import shutil

import pytest
import yaml

import assistant
from assistant.knowledge_base import load
from assistant.knowledge_base.files import BrokenKnowledge
from assistant.parsing.vocabulary import Vocabulary
from assistant.skills.worked import formula_of
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
    for damage in (b"", b"{}", whole[: len(whole) // 2], whole[:-40] + b"x" * 40, b"\x00" * 5000):
        image.write_bytes(damage)
        again = load(cache)
        assert again.section("species") == first.section("species")
        assert again.section("language") == first.section("language")
    assert image.read_bytes() == whole


def test_a_changed_file_makes_another_image(copy, tmp_path):
    before = load(tmp_path / "cache", copy)
    change(copy / "mowing.yaml", "never more than a third", "at most a third")
    after = load(tmp_path / "cache", copy)
    assert before.key != after.key
    assert "at most a third" in after.rows("mowing.most_of_leaf")[0].note
    assert len(list((tmp_path / "cache").glob("*.image"))) == 1


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
