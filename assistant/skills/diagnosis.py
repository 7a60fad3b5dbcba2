"""From what is seen and answered to the cause: fits of each cause to each answer, nothing of grass in it.

A fit of 0 rules a cause out, 3 is typical of it; what a cause does not list does not matter to it. Not known is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

UNKNOWN = "unknown"
_MIDDLING = 1.0  # a question that a cause does not list
_APART = 2.0  # so far ahead a cause is known
_FEWEST = 2  # answers before that


class Standing(NamedTuple):
    """How a cause stands after the answers: its score, or the question that ruled it out."""

    cause: str
    score: float
    ruled_out_by: str = ""


def standings(causes: Mapping[str, Any], complaint: str, answers: Mapping[str, str]) -> list[Standing]:
    """The causes of a complaint, the likeliest first; those that an answer rules out at the end.

    >>> rows = {"dry": {"shows": ["bare"], "fits": {"soil": {"dry": 3, "wet": 0}}}, "rot": {"shows": ["bare"], "fits": {"soil": {"wet": 3}}}}
    >>> [(one.cause, one.score, one.ruled_out_by) for one in standings(rows, "bare", {"soil": "wet"})]
    [('rot', 3.0, ''), ('dry', 0.0, 'soil')]

    Source: common practice.
    """
    made = [_standing(key, cause, answers) for key, cause in causes.items() if complaint in cause["shows"]]
    return sorted(made, key=lambda one: (bool(one.ruled_out_by), -one.score))


def _standing(key: str, cause: Mapping[str, Any], answers: Mapping[str, str]) -> Standing:
    score = 0.0
    for question, answer in answers.items():
        fit = cause["fits"].get(question, {}).get(answer) if answer != UNKNOWN else None
        if fit == 0:
            return Standing(key, 0.0, question)
        score += _MIDDLING if fit is None and answer != UNKNOWN else float(fit or 0)
    return Standing(key, score)


def known(left: list[Standing], answered: int) -> bool:
    """True where one cause is left, or one is far enough ahead of the next."""
    return len(left) == 1 or (len(left) > 1 and answered >= _FEWEST and left[0].score - left[1].score >= _APART)


def best_question(
    causes: Mapping[str, Any], questions: Mapping[str, Any], left: list[Standing], asked: Mapping[str, str]
) -> str:
    """The question whose answers part the causes that are left best: the greatest gain of information.

    None where no open question tells any two of them apart.
    """
    weights = {one.cause: math.exp(one.score) for one in left}
    gains = {key: _gain(causes, question, key, weights) for key, question in questions.items() if key not in asked}
    best = max(gains.items(), key=lambda one: one[1], default=("", 0.0))
    return best[0] if best[1] > 1e-6 else ""


def _gain(causes: Mapping[str, Any], question: Mapping[str, Any], key: str, weights: Mapping[str, float]) -> float:
    total = sum(weights.values())
    before = _entropy(list(weights.values()))
    answers = list(question["answers"])
    after = 0.0
    for answer in answers:
        joint = []
        for cause, weight in weights.items():
            fits = causes[cause]["fits"].get(key)
            share = (fits.get(answer, _MIDDLING) if fits else _MIDDLING) / _sum(fits, answers)
            joint.append(weight * share)
        seen = sum(joint)
        if seen:
            after += seen / total * _entropy(joint)
    return before - after


def _sum(fits: Mapping[str, float] | None, answers: list[str]) -> float:
    return sum(fits.get(answer, _MIDDLING) if fits else _MIDDLING for answer in answers) or 1.0


def _entropy(weights: list[float]) -> float:
    total = sum(weights)
    return -sum(one / total * math.log(one / total) for one in weights if one > 0) if total else 0.0
