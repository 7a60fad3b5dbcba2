"""The worked line in every docstring runs."""

import doctest
import importlib
import pkgutil

import pytest

import assistant
from assistant.terms import Analysis, Range
from assistant.units import Q

MODULES = [
    found.name
    for found in pkgutil.walk_packages(assistant.__path__, "assistant.")
    if not found.name.endswith("__main__")
]


@pytest.mark.parametrize("name", MODULES)
def test_worked_lines(name):
    module = importlib.import_module(name)
    given = {**vars(module), "Q": Q, "Analysis": Analysis, "Range": Range}
    failed, _ = doctest.testmod(module, extraglobs=given, verbose=False)
    assert failed == 0


def test_every_calculation_shows_one():
    finder = doctest.DocTestFinder(exclude_empty=True)
    shown = [
        test
        for name in MODULES
        if name.startswith("assistant.calculations.")
        for test in finder.find(importlib.import_module(name))
        if test.examples
    ]
    assert len(shown) >= 8
