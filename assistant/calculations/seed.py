"""Seed: from a rate and an area to pounds and bags."""

from __future__ import annotations

from typing import Any

from assistant.units import ureg


@ureg.check("[mass] / [area]", "[area]")
def seed_for(rate: Any, area: Any) -> Any:
    """Seed that an area takes: seeding rate x area.

    >>> seed_for(Q(6, "lb") / Q(1000, "sq_ft"), Q(3000, "sq_ft"))
    <Quantity(18.0, 'pound')>

    Source: cornell-ssf.
    """
    return (rate * area).to("lb")


def for_stand_lost(new_rate: Any, lost: float) -> Any:
    """Rate for a lawn that has lost a share (0 to 1) of its stand: new-lawn rate x share lost.

    >>> for_stand_lost(Q(5, "lb"), 0.5)
    <Quantity(2.5, 'pound')>

    Source: uga-hall-reseed (5 lb at half the stand lost is 2.5 lb).
    """
    return new_rate * lost


@ureg.check("[mass] / [area]", "1 / [mass]")
def seeds_per_area(rate: Any, seeds_per_pound: Any) -> Any:
    """Seeds on a square inch: rate x seeds per pound.

    >>> round(seeds_per_area(Q(2, "lb") / Q(1000, "sq_ft"), Q(1400000, "1 / lb")).to("1 / sq_in"), 1)
    <Quantity(19.4, '1 / square_inch')>

    Source: ohio-546 (15 to 20 seeds a square inch is normally adequate).
    """
    return rate * seeds_per_pound
