"""Rows of whole numbers, weighed and added at once: a row is one long integer, each number in a lane of its own.

A line has dozens of signs and each speaks for or against hundreds of entries. Added one by one that took a fifth of a turn;
as long integers it is one multiplication and one addition a sign.
"""

from __future__ import annotations

import sys
from array import array
from collections.abc import Iterable
from functools import cache

_BYTES = array("I").itemsize
_MIDDLE = 1 << (8 * _BYTES - 1)  # what a lane holds for 0, so that none ever borrows from its neighbour


def row_of(pairs: Iterable[tuple[int, int]], length: int) -> int:
    """A row of that length from (place, number); the places that are not named hold 0.

    >>> numbers_of(3 * row_of([(0, 5), (2, -7)], 3) + row_of([(1, -1)], 3), 3)
    array('i', [15, -1, -21])
    """
    lanes = array("I", [_MIDDLE]) * length
    for place, number in pairs:
        lanes[place] = _MIDDLE + number
    return int.from_bytes(lanes.tobytes(), sys.byteorder) - _zeros(length)


def numbers_of(row: int, length: int) -> array[int]:
    """The numbers of a row, or of a sum of rows; each must be smaller than two thousand million either way."""
    lanes = array("i")
    zeros = _zeros(length)
    signed = (row + zeros) ^ zeros  # the bit of the middle turned over: what is left is the number with its sign
    lanes.frombytes(signed.to_bytes(length * _BYTES, sys.byteorder))
    return lanes


@cache
def _zeros(length: int) -> int:
    return int.from_bytes(array("I", [_MIDDLE]).tobytes() * length, sys.byteorder)
