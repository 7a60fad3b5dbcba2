"""The walls between the rooms, held by import-linter from pyproject.toml; and what a one-shot answer never loads."""

import subprocess
import sys

import pytest


def test_imports_run_down_the_table():
    run = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports; raise SystemExit(lint_imports(no_cache=True))",
        ],
        capture_output=True,
        text=True,
    )
    assert run.returncode == 0, run.stdout + run.stderr


def test_a_one_shot_answer_loads_no_screen(tmp_path):
    code = (
        "import sys; from assistant.cli import main;"
        f"main(['ask', '--home', {str(tmp_path)!r}, 'how much starter for 4200 sq ft']);"
        "heavy = {'textual', 'prompt_toolkit', 'yaml', 'hypothesis'} & set(sys.modules); assert not heavy, heavy"
    )
    for _ in range(2):  # the first run may have to compile the knowledge base, and loads yaml for it
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


@pytest.mark.parametrize(
    "question",
    [
        "why is my new grass yellow",
        "how many times a day should I sprinkle the grass seed",
        "what is thatch",
        "tell me about tall fescue",
        "help",
    ],
)
def test_an_answer_from_the_knowledge_base_alone_loads_no_units(tmp_path, question):
    code = (
        "import sys; from assistant.cli import main;"
        f"code = main(['ask', '--home', {str(tmp_path)!r}, {question!r}]);"
        "loaded = {'pint', 'textual', 'prompt_toolkit'} & set(sys.modules); assert not loaded, loaded; sys.exit(code)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr
