"""`ligule season`: the season of a lawn's place as letters on the terminal, or as an SVG file."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from xml.sax.saxutils import escape

from assistant.skills.chart import COLDEST, HOTTEST, STEP, Season

_WIDE, _HIGH, _LEFT, _TOP = 900, 420, 60, 30


def svg(picture: Season) -> str:
    """The picture as SVG: no script, no font of its own, nothing to fetch."""

    def x(share: float) -> float:
        return _LEFT + share * (_WIDE - 2 * _LEFT)

    def y(degrees: float) -> float:
        return _TOP + (HOTTEST - degrees) / (HOTTEST - COLDEST) * _HIGH

    low, high = picture.band
    points = " ".join(f"{x(picture.share(day)):.1f},{y(soil):.1f}" for day, soil in picture.soil)
    tall = _HIGH + 2 * _TOP + 30 + 18 * (len(picture.marks) + 1)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {tall}" font-family="sans-serif" font-size="13">',
        f"<title>{escape(f'Soil and dates of the fall at {picture.place}')}</title>",
        f'<rect width="{_WIDE}" height="{tall}" fill="#fff"/>',
        f'<rect x="{x(0)}" y="{y(high):.1f}" width="{x(1) - x(0)}" height="{y(low) - y(high):.1f}" fill="#e8f0dc"/>',
    ]
    for degrees in range(COLDEST, HOTTEST + 1, 2 * STEP):
        parts.append(f'<line x1="{x(0)}" x2="{x(1)}" y1="{y(degrees):.1f}" y2="{y(degrees):.1f}" stroke="#ddd"/>')
        parts.append(f'<text x="{_LEFT - 10}" y="{y(degrees) + 4:.1f}" text-anchor="end">{degrees} °F</text>')
    for day in sorted({day.replace(day=1) for day, _ in picture.soil}):
        parts.append(f'<text x="{x(picture.share(day)):.1f}" y="{y(COLDEST) + 20:.1f}">{day:%b}</text>')
    parts.append(f'<polyline points="{points}" fill="none" stroke="#5b4a33" stroke-width="2.5"/>')
    letters: dict[date, str] = {}
    for mark in picture.marks:
        letters[mark.day] = f"{letters.get(mark.day, '')} {mark.letter}".strip()
    for day, words in letters.items():
        at = f"{x(picture.share(day)):.1f}"
        parts.append(
            f'<line x1="{at}" x2="{at}" y1="{y(HOTTEST)}" y2="{y(COLDEST):.1f}" stroke="#456" stroke-dasharray="3 4"/>'
        )
        parts.append(f'<text x="{at}" y="{_TOP - 8}" text-anchor="middle">{escape(words)}</text>')
    below = [f"{mark.letter}  {mark.day.day} {mark.day:%B}: {mark.words}" for mark in picture.marks]
    below.append(f"Soil at 4 inches in a normal year at {picture.place}; green: where cool-season seed comes up.")
    for place, words in enumerate(below):
        parts.append(f'<text x="{_LEFT}" y="{y(COLDEST) + 50 + 18 * place:.1f}">{escape(words)}</text>')
    return "\n".join([*parts, "</svg>", ""])


def write_svg(picture: Season, path: Path) -> None:
    """Writes the picture to a file."""
    path.write_text(svg(picture), encoding="utf-8")
