"""How near a line is to an entry."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Near(NamedTuple):
    """How near a line is to an entry: by the angle to what is asked of it, and by what was learned of all that is asked."""

    like: float
    learned: float


FAR = Near(0.0, -1.0)


def nearest(found: Iterable[Near]) -> Near:
    """The nearest of several, by each of the two; far where there is none.

    >>> nearest([Near(1.0, -0.5), Near(0.4, -0.2)])
    Near(like=1.0, learned=-0.2)
    """
    likes, learned = zip(FAR, *found, strict=True)
    return Near(max(likes), max(learned))
