"""Pieces of a lot that are no rectangle: `triangle 48 by 30 ft, circle 20 ft across, less a patio 8 by 16`.

A line of one shape is a question of its own (knowledge/intents/area_shapes.yaml); of several pieces each shape is read as the
area it has, so that they can be added up and taken off.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import pi
from typing import TYPE_CHECKING

from assistant.parsing.readings import Reading
from assistant.parsing.revised import area_of, square
from assistant.terms import SHAPED, Amount

if TYPE_CHECKING:
    from assistant.parsing.line import Line

_ROUND = {"~quarter_round": 4, "~half_round": 2, "~circle": 1}  # what part of a circle: one in so many
_TRIANGLE = "~triangle"
_OTHERS = {"~ring", "~all_around", "~oval", "~trapezoid", "~irregular"}  # shapes that are measured in more than one way
_SIZED = ("area", "size")
_OF_RADIUS = {"radius", "r"}
_BEFORE = {
    "diameter",
    "dia",
    "across",
    "wide",
    "round",
    "radius",
    "in",
    "a",
    "ft",
    "-",
    "full",
}  # `a 15 ft diameter half circle`
_SIDES = {"base", "by", "x", "height", "and", "high", "tall", "deep", "wide", "long", "with", "a", "of", ","}
_SIDE_WORDS = {"long", "high", "tall", "wide", "across", "deep"}
_NEAR = 4  # words from the shape to its measure


def with_shapes(line: Line) -> None:
    """The round and the three-sided pieces of a line of several pieces, as areas; a line of one piece stays as it is."""
    if line.terms.isdisjoint({*_ROUND, _TRIANGLE}) or not line.terms.isdisjoint(_OTHERS):
        return
    _with_its_unit(line)
    found = list(_shaped(line))
    taken = {place for _, places, _ in found for place in places}
    others = [n for n, one in enumerate(line.amounts) if n not in taken and one.amount.kind in _SIZED]
    if not found or len(found) + len(others) < 2:
        return
    made: list[Reading] = []
    for place, reading in enumerate(line.amounts):
        made += [one for one, places, _ in found if places[0] == place]
        if place not in taken:
            made.append(reading)
    line.amounts = made
    shapes = {start for _, _, start in found}
    line.meanings = [one._replace(terms=()) if one.start in shapes else one for one in line.meanings]
    line.terms -= {*_ROUND, _TRIANGLE, "~radius_word"}


def _with_its_unit(line: Line) -> None:
    """`a circle 25 feet across and a triangle 40 long and 18 high`: bare sides are in the measure of the other piece."""
    units = {one.amount.units for one in line.amounts if one.amount.kind == "length"}
    if len(units) != 1:
        return
    for place, reading in enumerate(line.amounts):
        side = not _SIDE_WORDS.isdisjoint(line.words[reading.end : reading.end + 1])
        if reading.amount.kind == "number" and side:
            line.amounts[place] = replace(reading, amount=replace(reading.amount, kind="length", units=min(units)))


def _shaped(line: Line) -> Iterator[tuple[Reading, tuple[int, ...], int]]:
    """Each shape with a measure: the area it has, the places of the amounts that told it, and where the shape stands."""
    taken: set[int] = set()
    for shape in line.meanings:
        term = next((one for one in (*_ROUND, _TRIANGLE) if one in shape.terms), "")
        if not term:
            continue
        places = (
            _of_triangle(line, shape.end, taken)
            if term == _TRIANGLE
            else _of_circle(line, shape.start, shape.end, taken)
        )
        if not places:
            continue
        taken.update(places)
        told = [line.amounts[place] for place in places]
        area = _area(term, told, line)
        text = line.text[told[0].amount.span[0] : told[-1].amount.span[1]]
        name = " ".join(line.words[shape.start : shape.end])
        area = replace(
            area, text=f"{text} {name}", assumed=SHAPED, span=(told[0].amount.span[0], told[-1].amount.span[1])
        )
        yield Reading(area, told[0].start, told[-1].end), places, shape.start


def _of_circle(line: Line, start: int, end: int, taken: set[int]) -> tuple[int, ...]:
    """The length that is told of a round piece: behind it, or right before it."""
    for place, reading in enumerate(line.amounts):
        if place in taken or reading.amount.kind != "length" or not reading.amount.single:
            continue
        behind = 0 <= reading.start - end <= _NEAR and not any(
            word in (",", ".", ";") for word in line.words[end : reading.start]
        )
        before = reading.end <= start and set(line.words[reading.end : start]) <= _BEFORE
        if behind or before:
            return (place,)
    return ()


def _of_triangle(line: Line, end: int, taken: set[int]) -> tuple[int, ...]:
    """The two sides of a triangle behind its name: a size, or a base and a height."""
    near = [
        place
        for place, reading in enumerate(line.amounts)
        if place not in taken and reading.start >= end and reading.amount.kind in ("size", "length")
    ]
    if not near or line.amounts[near[0]].start - end > _NEAR:
        return ()
    first = line.amounts[near[0]]
    if first.amount.kind == "size":
        return (near[0],) if len(first.amount.low) == 2 else ()
    second = line.amounts[near[1]] if len(near) > 1 and near[1] == near[0] + 1 else None
    if second is None or second.amount.units != first.amount.units or second.amount.kind != "length":
        return ()
    return (near[0], near[1]) if set(line.words[first.end : second.start]) <= _SIDES else ()


def _area(term: str, told: list[Reading], line: Line) -> Amount:
    first = told[0].amount
    if term == _TRIANGLE:
        size = first if first.kind == "size" else replace(first, low=(first.low, told[1].amount.low))
        whole = area_of(size)
        return replace(whole, low=whole.low / 2, high=whole.high / 2)
    around = {*line.words[max(0, told[0].start - 3) : told[0].start], *line.words[told[0].end : told[0].end + 2]}
    across = first.low * (2 if around & _OF_RADIUS else 1)
    area = pi * across**2 / 4 / _ROUND[term]
    return replace(first, kind="area", low=area, high=area, units=(square(first.unit),))
