"""Soil tests: lime and sulfur for a pH, and what the lab's figures mean in words."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, ASKS, REFUSED, Answer, Ask, Figure
from assistant.calculations.soil import (
    buffer_acidity,
    lime_between,
    lime_for_acidity,
    lime_for_cce,
    pounds_per_acre,
    split,
    sulfur_for,
    texture_class,
)
from assistant.knowledge_base import row_of
from assistant.skills.area import total_of
from assistant.skills.turn import Turn
from assistant.skills.worked import whole
from assistant.terms import Range, Row, Slot, capital, high_end, over_range
from assistant.units import Q
from assistant.wording import number

_PER = "1000 sq_ft"


class BelowTable(ValueError):
    """A pH that the table of textures does not print."""


# A texture that a table does not print stands with its nearest.
_LIKE = {
    "by_texture": {"clay_loam": "clay"},
    "sulfur": {"sandy_loam": "sand", "silt_loam": "loam", "clay_loam": "clay"},
}
_SAID = {"P": "Phosphorus", "K": "Potassium", "Mg": "Magnesium", "Ca": "Calcium"}


def lime(
    turn: Turn,
    ph: Slot,
    goal: Slot,
    texture: Slot | None = None,
    acidity: Slot | None = None,
    buffer: Slot | None = None,
    neutralizing: Slot | None = None,
    area: Slot | None = None,
    job: Slot | None = None,
    **_: Slot | None,
) -> Answer:
    """Lime that brings a soil to a pH: by the lab's buffer pH or acidity, else by texture."""
    inputs = tuple(slot for slot in (ph, goal, texture, acidity, buffer, neutralizing, area, job) if slot)
    if _least(ph) >= _least(goal):
        return Answer(
            ANSWERED,
            f"No lime: pH {_points(ph)} is at or above {_points(goal)} already",
            figures=(_no_lime(turn),),
            inputs=inputs,
            sources=turn.cite(goal.source),
        )
    try:
        pure, how, source, notes = _pure_lime(turn, ph, goal, texture, acidity, buffer)
    except BelowTable as problem:
        return Answer(REFUSED, f"{problem} Nothing was recorded.", inputs=inputs)
    if buffer and high_end(pure).magnitude <= 0:
        return _buffer_takes_none(turn, ph, goal, buffer, inputs)
    rate = over_range(lime_for_cce, pure, neutralizing.q) if neutralizing else pure
    rows = [f"{how} = {turn.say(pure, 'lb', _PER)} of pure lime"]
    if neutralizing:
        rows.append(
            f"{turn.say(pure, 'lb', _PER)} / {turn.say(neutralizing.q, 'percent')} = {turn.say(rate, 'lb', _PER)}"
        )
    notes += [] if neutralizing else ["As pure lime (100 % CCE). Divide by the bag's CCE, or tell me it."]
    answer = _spread(turn, "lime", rate, area, rows)
    return Answer(
        ANSWERED,
        answer.headline,
        figures=answer.figures,
        lines=(*answer.lines, *notes, *_how_lime_goes_down(turn, rate, job)),
        working=answer.working,
        inputs=inputs,
        sources=turn.cite(source, *(_row(turn, "lime.at_once").source,)),
    )


def _no_lime(turn: Turn) -> Figure:
    return turn.figure("lime", Q(0.0, "lb") / Q(1000, "sq_ft"), "lb", _PER, "lime")


def _buffer_takes_none(turn: Turn, ph: Slot, goal: Slot, buffer: Slot, inputs: tuple[Slot, ...]) -> Answer:
    """A buffer that lost nothing of its pH: by it there is no acidity to lime away, though the soil is below its goal."""
    return Answer(
        ANSWERED,
        f"No lime by a Mehlich buffer pH of {_points(buffer)}: it starts at 6.6, so it found no acidity to lime away",
        figures=(_no_lime(turn),),
        lines=(
            f"The soil's own pH {_points(ph)} is below {_points(goal)}. If the lab's buffer is another one (SMP, Sikora), it is "
            "read otherwise: take the lab's own figure, or tell me the texture.",
        ),
        inputs=inputs,
        sources=turn.cite("ncda-buffer"),
    )


def _pure_lime(
    turn: Turn, ph: Slot, goal: Slot, texture: Slot | None, acidity: Slot | None, buffer: Slot | None
) -> tuple[Any, str, str, list[str]]:
    """The pure lime an area takes, how that was found, its source, and what is to be said of it."""
    if buffer:
        found = over_range(lambda b, p, g: lime_for_acidity(buffer_acidity(b), p, g), buffer.q, ph.q, goal.q)
        sour = number(buffer_acidity(buffer.q).magnitude) if not isinstance(buffer.q, Range) else ""
        how = f"(6.6 - {_points(buffer)}) x 4 = {sour} meq; x ({_points(goal)} - {_points(ph)}) / (6.6 - {_points(ph)}) tons an acre"
        return found, how, "ncda-buffer", [
            "That is for a Mehlich buffer pH. A lab that uses another buffer (SMP, Sikora) prints its own table: take that."
        ]  # fmt: skip
    if acidity:
        return *_by_acidity(turn, acidity, goal), []
    assert texture is not None
    lowest = min(row["ph"] for row in turn.knowledge.entry(f"lime.by_texture.{_table_of(texture, 'by_texture')}"))
    if _least(ph) < lowest:
        raise BelowTable(f"pH {_points(ph)} is below the table, which ends at {lowest:g}: take the lab's own figure.")
    soil = _table_of(texture, "by_texture")
    rows = turn.knowledge.entry(f"lime.by_texture.{soil}")
    points = [(Q(row["ph"], ""), row_of(row).amount.q) for row in rows]
    found = over_range(lambda p, g: lime_between(points, p, g), ph.q, goal.q)
    how = f"{soil.replace('_', ' ')} from pH {_points(ph)} to {_points(goal)}, by the table"
    return found, how, rows[0]["source"], [
        "An estimate from texture. A lab's buffer pH or exchangeable acidity settles it: get a soil test."
    ]  # fmt: skip


def _by_acidity(turn: Turn, acidity: Slot, goal: Slot) -> tuple[Any, str, str]:
    """The printed line for an acidity, in the column of the goal at or above the one that is wanted."""
    rows = turn.knowledge.entry("lime.by_acidity")
    columns = sorted({row["goal"] for row in rows})
    column = next((one for one in columns if one >= _least(goal)), columns[-1])
    lines = [row for row in rows if row["goal"] == column]

    def of(sour: Any) -> Any:
        line = next((row for row in lines if row["acidity"] >= sour.magnitude), lines[-1])
        return row_of(line).amount.q

    found = over_range(of, acidity.q)
    return found, f"acidity {_points(acidity)} meq/100 g, to pH {column:g}, by the table", lines[0]["source"]


def _how_lime_goes_down(turn: Turn, rate: Any, job: Slot | None) -> list[str]:
    """All tilled in on bare ground; in portions on a standing lawn."""
    most, two = _row(turn, "lime.at_once"), _row(turn, "lime.tilled_in_two")
    depth = _row(turn, "lime.tilled_depth")
    top = high_end(rate)
    times = whole(split(top, most.amount.q)).magnitude
    bare = job is not None and job.value == "job.new"
    tilled = f"Before seeding: till all of it {turn.say(depth.amount.q, 'inch')} deep"
    if top > two.amount.q:
        tilled += f"; over {turn.say(two.amount.q, 'lb', _PER)}, {two.note}"
    lines = [f"{tilled}."]
    if not bare and times > 1:
        lines.append(
            f"On a standing lawn: {times:g} applications of at most {turn.say(most.amount.q, 'lb', _PER)}, half a year apart."
        )
    return lines


def sulfur(
    turn: Turn, ph: Slot, goal: Slot, texture: Slot, area: Slot | None = None, job: Slot | None = None, **_: Slot | None
) -> Answer:
    """Elemental sulfur that brings a pH down, with what goes down at once."""
    inputs = tuple(slot for slot in (ph, goal, texture, area, job) if slot)
    if _most(ph) <= _most(goal):
        return Answer(ANSWERED, f"No sulfur: pH {_points(ph)} is not above {_points(goal)}", inputs=inputs)
    row = _row(turn, f"lime.sulfur.{_table_of(texture, 'sulfur')}")
    rate = over_range(sulfur_for, row.amount.q, ph.q, goal.q)
    most = _row(turn, "lime.sulfur_at_once")
    heat = _row(turn, "lime.sulfur_heat")
    drop = f"{_points(ph)} - {_points(goal)}"
    answer = _spread(
        turn, "sulfur", rate, area,
        [f"{turn.say(row.amount.q, 'lb', _PER)} for one unit of pH x ({drop}) = {turn.say(rate, 'lb', _PER)}"],
    )  # fmt: skip
    top = high_end(rate)
    lines = [
        f"At most {turn.say(most.amount.q, 'lb', _PER)} at once; {most.note}, below {turn.say(heat.amount.q, 'degF')}."
    ]
    if top > most.amount.q.high:
        lines.append("So much is tilled in before seeding; on a standing lawn it takes several applications.")
    lines.append(
        "Put vinegar on a pinch of dry soil first: where it fizzes there is free lime, and sulfur will not move the pH for long."
    )
    return Answer(
        ANSWERED,
        answer.headline,
        figures=answer.figures,
        lines=(*answer.lines, *lines),
        working=answer.working,
        inputs=inputs,
        sources=turn.cite(row.source, most.source, "rhs-acidify"),
    )


def _spread(turn: Turn, what: str, rate: Any, area: Slot | None, rows: list[str]) -> Answer:
    """A rate, and where the area is known what it comes to."""
    each = turn.figure(f"{what} rate", rate, "lb", _PER, what)
    if area is None:
        return Answer(ANSWERED, f"{turn.say(rate, 'lb', _PER)} of {what}", figures=(each,), working=tuple(rows))
    size = total_of(area)
    total = over_range(lambda one, ground: one * ground, rate, size)
    rows.append(f"{turn.say(size, 'sq_ft')} x {turn.say(rate, 'lb', _PER)} = {turn.say(total, 'lb')}")
    return Answer(
        ANSWERED,
        f"{turn.say(total, 'lb')} of {what} for {turn.say(size, 'sq_ft')}",
        figures=(turn.figure(what, total, "lb", of=what), each),
        lines=(f"That is {turn.say(rate, 'lb', _PER)}.",),
        working=tuple(rows),
    )


_WHICH_FIGURES = "What does it say: the pH, or phosphorus and potassium in ppm? For example pH 6.1, P 22 ppm, K 90 ppm."


def rating(
    turn: Turn,
    ph: Slot | None = None,
    phosphorus: Slot | None = None,
    potassium: Slot | None = None,
    magnesium: Slot | None = None,
    calcium: Slot | None = None,
    species: Slot | None = None,
    buffer: Slot | None = None,
    texture: Slot | None = None,
    goal: Slot | None = None,
    area: Slot | None = None,
) -> Answer:
    """A soil test in words: each figure against its scale, and what follows from it; the lime where the test tells enough."""
    said: list[tuple[str, str]] = []
    figures: list[Figure] = []
    sources: list[str] = []
    limed = Answer(ANSWERED, "")
    if ph:
        row, words, advice = _ph_words(turn, ph, species)
        if _most(ph) < row.amount.low and goal and (buffer or texture):
            limed = lime(turn, ph, goal, texture=texture, buffer=buffer, area=area)
        said.append(("pH", f"{words}: {limed.headline or advice}"))
        figures += [turn.figure("pH", ph.q, ""), turn.figure("pH wanted", row.amount.q, "")]
        sources.append(row.source)
    rows = []
    for name, slot in (("P", phosphorus), ("K", potassium), ("Mg", magnesium), ("Ca", calcium)):
        if slot is None:
            continue
        found = over_range(pounds_per_acre, slot.q) if slot.amount.unit in ("ppm", "") else slot.q
        level = _level(turn, name, found)
        said.append((_SAID[name], f"{_written(turn, slot)}, {level}"))
        rows.append(f"{_SAID[name]} {_written(turn, slot)} = {turn.say(found, 'lb', 'acre')}: {level}")
        figures.append(turn.figure(_SAID[name].lower(), found, "lb", "acre", name))
        sources.append("rutgers-levels")
    if not said:
        return Answer(ASKS, "I put a test into words figure by figure.", asks=Ask("ph", _WHICH_FIGURES))
    lines = [*limed.lines, *(f"{name} {words}." for name, words in said[1:])]
    if len(said) > len(figures) or rows:
        lines.append(
            'By the Mehlich-3 scale, where "high" is the best there is. Bray and Olsen have other scales: see the report.'
        )
    lines += _phosphate(turn, phosphorus)
    slots = (ph, phosphorus, potassium, magnesium, calcium, species, buffer, texture, area)
    by_table = turn.cite(*sources, *(["psu-m3p"] if phosphorus else []))
    return Answer(
        ANSWERED,
        f"{said[0][0]} {said[0][1]}",
        figures=(*limed.figures, *figures),
        lines=tuple(lines),
        working=(*limed.working, *rows),
        inputs=tuple(slot for slot in slots if slot),
        sources=tuple(dict.fromkeys((*by_table, *limed.sources))),
    )


def _ph_words(turn: Turn, ph: Slot, species: Slot | None) -> tuple[Row, str, str]:
    """What the grass wants, a pH against it, and what to do."""
    key = str(species.value).partition(".")[2] if species else ""
    season = turn.knowledge.entry(f"species.{key}.season") if key else "cool"
    row = _row(turn, f"soils.ph.{key}" if turn.knowledge.entry(f"soils.ph.{key}") else f"soils.ph.{season}")
    grass = turn.knowledge.name(str(species.value)) if species else "a cool-season lawn"
    wanted = f"{row.amount.low:g} to {row.amount.high:g} for {grass}"
    if _most(ph) < row.amount.low:
        advice = "lime. Tell me the texture, or the lab's buffer pH, and I work it out"
        return row, f"{_points(ph)} is below {wanted}", advice
    if _least(ph) > row.amount.high:
        return row, f"{_points(ph)} is above {wanted}", "no lime. Ask about sulfur if it is far above"
    return row, f"{_points(ph)} is within {wanted}", "leave it"


def _phosphate(turn: Turn, phosphorus: Slot | None) -> list[str]:
    """Whether phosphate is called for, as the state's own laboratory sees it."""
    if phosphorus is None:
        return []
    wanted, risk = _row(turn, "soils.phosphate_wanted"), _row(turn, "soils.phosphate_risk")
    in_ppm = phosphorus.amount.low if phosphorus.amount.unit in ("ppm", "") else None
    if in_ppm is None:
        return []
    if in_ppm <= wanted.amount.low:
        return [
            f"At or below {turn.say(wanted.amount.q, 'ppm')} a lawn gets a phosphate recommendation: take the lab's, within your state's law."
        ]
    words = "No phosphate is called for: choose a feed with a zero in the middle."
    if in_ppm > risk.amount.low:
        words += f" Above {turn.say(risk.amount.q, 'ppm')} it is a risk to streams and lakes."
    return [words]


def _level(turn: Turn, name: str, found: Any) -> str:
    """The words of a scale for what was found; two where a range crosses a line."""
    rows = turn.knowledge.entry(f"soils.levels.{name}")

    def of(one: Any) -> str:
        value = one.m_as("lb / acre")
        return str(next((row["level"] for row in rows if value <= row["high"]), rows[-1]["level"]))

    if isinstance(found, Range):
        low, high = of(found.low), of(found.high)
        return low if low == high else f"{low} to {high}"
    return of(found)


def texture(turn: Turn, sand: Slot | None = None, silt: Slot | None = None, clay: Slot | None = None) -> Answer:
    """The texture class of a soil by two of its three shares, or all of them."""
    told = {name: slot for name, slot in (("sand", sand), ("silt", silt), ("clay", clay)) if slot}
    inputs = tuple(told.values())
    if len(told) < len(_FRACTIONS) - 1:
        return Answer(ASKS, "Two of the three shares tell it.", asks=Ask("clay", _WHICH_SHARES), inputs=inputs)
    if any(isinstance(slot.q, Range) for slot in told.values()):
        return Answer(REFUSED, "Say one figure for each share, for example 62 % sand and 14 % clay.", inputs=inputs)
    rest = Q(100, "percent") - sum((slot.q for slot in told.values()), Q(0, "percent"))
    shares = {name: told[name].q if name in told else rest for name in _FRACTIONS}
    try:
        found = texture_class(
            shares["sand"], shares["silt"], shares["clay"], turn.knowledge.entry("soils.texture_classes.rows")
        )
    except ValueError:
        said = ", ".join(f"{turn.say(slot.q, 'percent')} {name}" for name, slot in told.items())
        return Answer(REFUSED, f"{said}: sand, silt and clay make up 100 %. Check the figures.", inputs=inputs)
    like = turn.knowledge.entry("soils.texture_classes.like")[found]
    ours = "" if like == found else f" Where I ask for a texture, say {like}: it is the nearest of my tables."
    left = [f"{name} is the rest, {turn.say(one, 'percent')}" for name, one in shares.items() if name not in told]
    return Answer(
        ANSWERED,
        capital(found),
        figures=tuple(turn.figure(name, one, "percent") for name, one in shares.items()),
        lines=(f"By the shares of the fine earth, stones left out{''.join(f'; {one}' for one in left)}.{ours}",),
        inputs=inputs,
        sources=turn.cite(turn.knowledge.entry("soils.texture_classes.source")),
    )


_FRACTIONS = ("sand", "silt", "clay")
_WHICH_SHARES = "Which shares does the test print? For example 62 % sand and 14 % clay."


def _table_of(texture: Slot, table: str) -> str:
    soil = str(texture.value).partition(".")[2]
    return _LIKE[table].get(soil, soil)


def _row(turn: Turn, path: str) -> Row:
    return turn.knowledge.rows(path)[0]


def _points(slot: Slot) -> str:
    """A pH or an acidity as a person writes it."""
    amount = slot.amount
    return number(amount.low) if amount.single else f"{number(amount.low)} to {number(amount.high)}"


def _written(turn: Turn, slot: Slot) -> str:
    return turn.say(slot.q, slot.amount.unit, slot.amount.per)


def _least(slot: Slot) -> float:
    return float(slot.amount.low)


def _most(slot: Slot) -> float:
    return float(slot.amount.high)
