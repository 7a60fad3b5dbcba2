"""How near a line is to an entry."""

from __future__ import annotations

from typing import NamedTuple


class Near(NamedTuple):
    """How near a line is to an entry: by the angle to what is asked of it, and by what was learned of all that is asked."""

    like: float
    learned: float


FAR = Near(0.0, -1.0)
