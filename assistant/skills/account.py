"""What was done: pounds of nutrients this year against the budget, the history, and what was known on a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial, reduce
from operator import add
from typing import Any

from assistant.answer import ANSWERED, ASKS, REFUSED, Answer, Ask, Figure, amount_words, describe
from assistant.calculations.seed import seed_for
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.shelf import used_of
from assistant.lawn.state import LawnState, fold
from assistant.skills.area import total_of
from assistant.skills.feed import against_caps
from assistant.skills.labels import NUTRIENTS, amount_put, label_put
from assistant.skills.running import PER
from assistant.skills.seed import spread_of
from assistant.skills.turn import Turn
from assistant.terms import (
    SEED_RATE,
    SEED_TOLD,
    SEED_WEIGHT,
    Amount,
    Range,
    Slot,
    capital,
    day_words,
    high_end,
    low_end,
    over_range,
)
from assistant.units import Q

_BY_TERM = {"aerate": "deed.aerate", "lime": "deed.limed"}  # work that is asked for by its verb
_PER_METRIC = "100 m**2"
IN_ALL = "in all"  # why a weight of seed, that may as well be a rate, is none


def account(
    turn: Turn,
    nutrient: Slot | None = None,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """N, P2O5 and K2O per 1,000 sq ft that went down since 1 January, against the year's budget and the limit of the place."""
    if turn.lawn is None or not turn.lawn.live:
        return Answer(REFUSED, "Nothing is on record of that lawn yet.")
    ground = total_of(area) if area else None
    totals, rows, sources = _put_down(turn, turn.lawn, ground, str(turn.now.day.year))
    others = _others(turn, turn.lawn)
    if not rows:
        fed = f"No feed is on record as put down in {turn.now.day.year}."
        return Answer(
            ANSWERED,
            fed if others else f"Nothing is on record as put down in {turn.now.day.year}.",
            lines=tuple(others),
        )
    if ground is None:
        return Answer(ANSWERED, "Per 1,000 sq ft I need the area of the lawn.", lines=(*rows, *others))
    wanted = (str(nutrient.value).partition(".")[2],) if nutrient else NUTRIENTS
    figures = [turn.figure(which, totals[which], "lb", PER, of=which) for which in wanted if which in totals]
    lines = [*rows, *others, *_against_budget(turn, totals.get("N"), species, figures, sources)]
    said = ", ".join(f"{turn.say(totals[which], 'lb', PER)} of {which}" for which in wanted if which in totals)
    return Answer(
        ANSWERED,
        f"In {turn.now.day.year} so far: {said or 'no nutrients that I can work out'}",
        figures=tuple(figures),
        lines=tuple(lines),
        inputs=tuple(slot for slot in (area, species) if slot),
        sources=turn.cite(*dict.fromkeys(sources)),
    )


def _others(turn: Turn, state: LawnState) -> list[str]:
    """What else went down this year and feeds nothing: each with its day."""
    year = str(turn.now.day.year)
    return [
        f"{day_words(date.fromisoformat(event.happened_on))}: {turn.knowledge.name(event.went_down)}, no feed."
        for event in sorted(state.used, key=lambda one: one.happened_on)
        if event.went_down.startswith("ingredients.") and event.happened_on[:4] == year
    ]


def _put_down(turn: Turn, state: LawnState, ground: Any, year: str) -> tuple[dict[str, Any], list[str], list[str]]:
    """Totals per area, a row a product a day, and sources; rows without an analysis are named, not guessed."""
    totals: dict[str, Any] = {}
    rows, sources = [], []
    for day, row in used_of(state.live):
        if day[:4] != year:
            continue
        name = turn.knowledge.name(row["what"])
        amount = amount_put(row)
        when = day_words(date.fromisoformat(day))
        guessed = "" if row["said"] else ", by the program's rate"
        label = label_put(turn, row)
        whose = ""
        if row.get("of") in NUTRIENTS:
            parts = {row["of"]: amount}
        elif label is None:
            rows.append(
                f"{when}: {turn.say(amount, row['unit'])} of {name}{guessed}; without an analysis, so not counted."
            )
            continue
        else:
            parts = label.nutrients(amount)
            whose = f" ({label.analysis}, {label.words})" if label.words else ""
            name = turn.knowledge.name("product.fertilizer") if "analysis" in row else name
        words = ", ".join(f"{turn.say(part, 'lb')} of {which}" for which, part in parts.items())
        if row.get("of") in NUTRIENTS:
            rows.append(f"{when}: {words} as {name}{guessed}.")
        else:
            rows.append(f"{when}: {turn.say(amount, row['unit'])} of {name}{guessed}{whose}: {words}.")
        if ground is not None:
            for which, part in parts.items():
                each = over_range(lambda one: one / ground, part)
                totals[which] = over_range(lambda a, b: a + b, totals[which], each) if which in totals else each
        sources.append(row.get("source", ""))
    return totals, rows, sources


def nitrogen_of(turn: Turn, state: LawnState, event: Event) -> Figure | None:
    """Nitrogen per area that one application put down, where its analysis and the area are known."""
    area = state.facts.get("area")
    if area is None:
        return None
    totals, _, _ = _put_down(turn, fold(state.name, (event,)), total_of(area), event.happened_on[:4])
    return turn.figure("N", totals["N"], "lb", PER, of="N") if "N" in totals else None


def _against_budget(
    turn: Turn, nitrogen: Any, species: Slot | None, figures: list[Figure], sources: list[str]
) -> list[str]:
    """Nitrogen against what the grass takes in a year, and against a limit that was told for the place."""
    if nitrogen is None:
        return []
    lines = []
    rows = turn.knowledge.rows(f"{species.value}.nitrogen_per_year") if species else []
    row = rows[0] if rows else turn.knowledge.rows("mowing.yearly_nitrogen")[0]
    name = turn.knowledge.name(str(species.value)) if species else "a cool-season lawn"
    lines.append(f"{capital(name)} takes {turn.row_words(row, 'lb', PER)} of nitrogen in a year.")
    sources.append(row.source)
    limit = turn.lawn.facts.get("nitrogen_limit") if turn.lawn else None
    if limit:
        cap = limit.amount.q if limit.amount.per else Q(limit.amount.low, "lb") / Q(1000, "sq_ft")
        most = high_end(nitrogen)
        left = cap - most
        figures.append(turn.figure("left to the limit", left, "lb", PER, of="N"))
        over = left.magnitude < 0
        lines.append(
            f"Your limit of {turn.say(cap, 'lb', PER)} a year: "
            + (f"over it by {turn.say(-left, 'lb', PER)}." if over else f"{turn.say(left, 'lb', PER)} left.")
        )
    return lines


def enough(
    turn: Turn,
    area: Slot | None = None,
    species: Slot | None = None,
    place: Slot | None = None,
    seeded_with: Slot | None = None,
    analysis: Slot | None = None,
) -> Answer:
    """Whether what is told in the line, or went down last, is enough or too much: seed or a feed, by what the grass takes."""
    live = turn.lawn.live if turn.lawn else ()
    told = [one for one in live if not set(SEED_TOLD).isdisjoint(one.body.get("facts", ())) or one.body.get("put")]
    if seeded_with is None and not told:
        down = next((one.body["title"] for one in reversed(live) if one.kind in (kinds.DONE, kinds.USED)), "")
        words = (
            f"It is on record that {down} went down, but not how much." if down else "Nothing is on record as put down."
        )
        how = "Tell me what it was, for example: seeded today with 25 lb, 12 lb of 10-20-10 today."
        return Answer(REFUSED, f"{words} {how}")
    if area is None:
        how_big = Ask("area", "How big is the area? Square feet, or length by width.")
        return Answer(ASKS, "That hangs on how much ground it goes over.", asks=how_big)
    if seeded_with is not None and analysis is not None:
        share = analysis.amount.analysis.nitrogen / 100
        rate = over_range(lambda one, ground: one * share / ground, seeded_with.q, total_of(area))
        return _enough_feed(turn, turn.figure("N", rate, "lb", PER, of="N"), (seeded_with, analysis, area))
    if seeded_with is not None:
        return _enough_seed(turn, _seed_rate(seeded_with, area), (seeded_with, area), species)
    assert turn.lawn is not None
    if "put" not in told[-1].body:
        name = next(name for name in SEED_TOLD if name in told[-1].body["facts"])
        seed = turn.lawn.facts[name]
        return _enough_seed(turn, _seed_rate(seed, area), (seed, area), species)
    nitrogen = nitrogen_of(turn, turn.lawn, told[-1])
    if nitrogen is None:
        words = "I can't tell: no analysis is known of what went down last. Tell me its three numbers."
        return Answer(ANSWERED, words)
    return _enough_feed(turn, nitrogen, (area,))


def _enough_feed(turn: Turn, nitrogen: Figure, inputs: tuple[Slot, ...]) -> Answer:
    """The nitrogen of a feed against what young grass takes, and what law allows, at one time."""
    over, sources = against_caps(turn, [nitrogen])
    low, high = Q(nitrogen.low, nitrogen.unit), Q(nitrogen.high, nitrogen.unit)
    said = turn.say(low if nitrogen.low == nitrogen.high else Range(low, high), nitrogen.unit)
    return Answer(
        ANSWERED,
        f"{said} of N per 1,000 sq ft: {'more than one time should bring' if over else 'not too much for one time'}",
        figures=(nitrogen,),
        lines=over or ("More at once would burn young grass; what it still takes goes down with the next feed.",),
        inputs=inputs,
        sources=turn.cite(*sources),
    )


def seed_used(turn: Turn, area: Slot | None = None, species: Slot | None = None, place: Slot | None = None) -> Answer:
    """How much seed went down, as it was told with seed day: its weight, or its rate over the lawn."""
    facts = turn.lawn.facts if turn.lawn else {}
    seed = facts.get(SEED_WEIGHT) or facts.get(SEED_RATE)
    named = any(name.type in ("lawn", "place") for name in turn.parse.names)
    sown = {} if named or len(turn.lawns) < 2 else _sown_on_each(turn)
    if (turn.lawn is None and sown) or len(sown) > 1:
        return _seed_of_all(turn, sown)
    if seed is None:
        words = "How much seed went down is not on record. Tell it with the day, for example: seeded today with 25 lb."
        return Answer(REFUSED, words)
    grass = turn.knowledge.name(str(species.value)) if species else "seed"
    if area is None:
        return Answer(ANSWERED, f"{amount_words(seed.amount)} of {grass}", inputs=(seed,))
    rate = _seed_rate(seed, area)
    total = seed_in_all(rate, area)
    return Answer(
        ANSWERED,
        f"{turn.say(total, 'lb')} of {grass}, {turn.say(rate, 'lb', PER)}",
        figures=(turn.figure("seed", total, "lb", of="seed"),),
        inputs=(seed, area),
    )


def _sown_on_each(turn: Turn) -> dict[str, Any]:
    """Lawn -> the weight of seed that was told of it; None where a rate was told and no area is known."""
    sown: dict[str, Any] = {}
    for state in turn.states():
        seed, area = state.facts.get(SEED_WEIGHT) or state.facts.get(SEED_RATE), state.facts.get("area")
        if seed is not None and seed.amount.kind == "rate":
            sown[state.name] = seed_in_all(seed.q, area) if area else None
        elif seed is not None:
            sown[state.name] = seed.q
    return sown


def _seed_of_all(turn: Turn, sown: dict[str, Any]) -> Answer:
    """What went down on each lawn, where none is named, and in all."""
    known = {name: weight for name, weight in sown.items() if weight is not None}
    if not known:
        return Answer(REFUSED, f"How big {' and '.join(sown)} is, is not on record, so the weight cannot be told.")
    total = reduce(partial(over_range, add), known.values())
    rows = [f"{capital(name)}: {turn.say(weight, 'lb')}." for name, weight in known.items()]
    rows += [f"Not counted: {name}, whose size is not on record." for name in sown if name not in known]
    figures = (turn.figure("seed in all", total, "lb", of="seed"),)
    return Answer(ANSWERED, f"{turn.say(total, 'lb')} of seed in all", figures=figures, lines=tuple(rows))


def _seed_rate(seed: Slot, area: Slot) -> Any:
    """Seed that was told, by its weight or by its rate, per area."""
    if seed.amount.kind == "rate":
        return seed.q
    return over_range(lambda one, ground: one / ground, seed.q, total_of(area))


def weight_in_doubt(turn: Turn, seed: Slot | None, area: Slot | None, species: Slot | None) -> Ask | None:
    """`5.2k tall fescue 8 lb`: in all that is thinner than anybody sows it, while it is just what goes on each 1,000. Asks which
    of the two it was; None where the weight is plain."""
    if seed is None or seed.why == IN_ALL or area is None or species is None:
        return None
    rows = turn.knowledge.rows(f"{species.value}.seeding_rate")
    half = turn.knowledge.rows("seeding.share_of_new_rate.overseed")
    if not rows or not half:
        return None
    printed, thin = spread_of(rows), _seed_rate(seed, area)
    thinnest = printed.low * half[0].amount.q.m_as("")
    if high_end(thin) >= thinnest or high_end(as_seed_rate(seed).q) > printed.high:
        return None
    said, rate = amount_words(seed.amount), amount_words(as_seed_rate(seed).amount)
    words = f"Was {said} all that went down, which makes {turn.say(thin, 'lb', PER)}, or was it {rate}?"
    return Ask(seed.name, words, (f"{said} {IN_ALL}", rate))


def as_seed_rate(seed: Slot) -> Slot:
    """A weight of seed as what went on each 1,000 sq ft, or on each 100 square metres."""
    per = _PER_METRIC if seed.amount.is_metric else PER
    return Slot(SEED_RATE, replace(seed.amount, kind="rate", per=per))


def seed_in_all(rate: Any, area: Slot) -> Any:
    """What a rate of seed comes to over an area: a quantity, or a Range of two."""
    return over_range(seed_for, rate, total_of(area))


def _enough_seed(turn: Turn, rate: Any, told: tuple[Slot, ...], species: Slot | None) -> Answer:
    """A rate of seed against the rates that are printed for the grass."""
    said = turn.say(rate, "lb", PER)
    rows = turn.knowledge.rows(f"{species.value}.seeding_rate") if species else []
    figures = (turn.figure("seed", rate, "lb", PER, of="seed"),)
    inputs = (*told, *((species,) if species else ()))
    if not rows or species is None:
        words = f"{said} of seed. Tell me the grass, and I hold it against its rate."
        return Answer(ANSWERED, words, figures=figures, inputs=inputs)
    row, grass = rows[0], turn.knowledge.name(str(species.value))
    half = turn.knowledge.rows("seeding.share_of_new_rate.overseed")[0]
    share = half.amount.q.m_as("")
    printed = spread_of([one for one in rows if one.source != "from memory"] or rows)
    if high_end(rate) < printed.low:
        verdict = "less than bare ground wants"
    elif low_end(rate) > printed.high:
        verdict = "more than bare ground wants"
    else:
        verdict = "enough for bare ground"
    overseeded = over_range(lambda one: one * share, row.amount.q)
    return Answer(
        ANSWERED,
        f"{said} of {grass}: {verdict}",
        figures=figures,
        lines=(
            f"New-lawn rate {turn.row_words(row)}; all that is printed for it: {turn.say(printed, 'lb', PER)}.",
            f"Into living grass half of it is enough, {turn.say(overseeded, 'lb', PER)} ({turn.short(half.source)}).",
        ),
        inputs=inputs,
        sources=turn.cite(row.source, half.source),
    )


def was_done(
    turn: Turn,
    deed: Slot | None = None,
    step: Slot | None = None,
    tank: Slot | None = None,
    product: Slot | None = None,
    place: Slot | None = None,
) -> Answer:
    """Whether the record holds something, and when it was done last."""
    if turn.lawn is None:
        return Answer(REFUSED, "Of which lawn? None is on record by that name.")
    what, held = _told_of(turn, turn.lawn, deed or step, tank)
    if not held:
        hint = 'If it was done, tell me, for example "mowed today" or "put the second feed down yesterday".'
        return Answer(ANSWERED, f"{what} is not on record of {turn.lawn.name}.", verdict="no", lines=(hint,))
    found = held[-1]
    sown = turn.lawn.seed_day if found.tells_seed_day else None  # not the day it was told on
    day = sown or date.fromisoformat(found.happened_on)
    ago = (turn.now.day - day).days
    since = "today" if ago == 0 else "yesterday" if ago == 1 else f"{ago} days ago"
    days = [] if sown else sorted({one.happened_on for one in held})
    often = f"{len(days)} times, " if len(days) > 1 else ""
    on = ", ".join(day_words(date.fromisoformat(one)) for one in days)
    told = f'You said "{found.text}" on {day_words(date.fromisoformat(found.said_on))}.'
    return Answer(
        ANSWERED,
        f"{what}: {often}last on {day_words(day)}, {since}.",
        verdict="yes",
        lines=(f"On {on}.", told) if often else (told,),
        figures=(Figure("last time", day=day, until=day),),
    )


def _told_of(turn: Turn, state: LawnState, named: Slot | None, tank: Slot | None) -> tuple[str, list[Event]]:
    """What is asked for, in words, and the events of it, the last one at the end."""
    words = {*turn.parse.text.lower().split(), *turn.parse.terms}
    work = next((deed for term, deed in _BY_TERM.items() if term in words), "")
    if named is None and tank is None and work:
        named = Slot("deed", work)
    if tank is not None:
        name = turn.knowledge.name(str(tank.value))
        held = [one for one in state.used if one.went_down == tank.value]
    elif named is not None and named.value != "deed.mowed" and str(named.value).partition(".")[0] in ("deed", "step"):
        name = turn.knowledge.name(str(named.value))
        key = turn.knowledge.entry(f"names.{named.value}.step")
        held = [one for one in state.live if key and key == one.body.get("step") and one.kind == kinds.DONE]
        held += [one for one in state.used if _is_same_work(turn, str(one.body.get("what", "")), str(named.value), key)]
    elif (named is not None and named.value == "deed.mowed") or words & {"mow", "mowed", "cut"}:
        name, held = "a cut", list(state.mowed)
    elif words & {"seed", "seeded", "sow", "sowed"}:
        name, held = "seed", [one for one in state.live if one.tells_seed_day]
    elif words & {"spray", "sprayed"}:
        name, held = "a spray", list(state.used)
    else:
        name = "a feed"
        held = [one for one in state.live if one.kind == kinds.DONE and one.body.get("step", "").startswith("feed")]
        held += [one for one in state.used if one.went_down.startswith("product.")]
    return capital(name), sorted(held, key=lambda one: (one.happened_on, one.seq))


def _is_same_work(turn: Turn, done: str, asked: str, step: Any) -> bool:
    """True for the work that is asked for, by its own name or by the step of a program that it is."""
    return done == asked or bool(
        step and done.startswith("deed.") and turn.knowledge.entry(f"names.{done}.step") == step
    )


def history(turn: Turn, place: Slot | None = None) -> Answer:
    """Everything that stands on the record of a lawn, by the day it happened."""
    if turn.lawn is None or not turn.lawn.live:
        return Answer(REFUSED, "Nothing is on record of that lawn yet.")
    live = sorted(turn.lawn.live, key=lambda event: (event.happened_on, event.seq))
    return Answer(
        ANSWERED,
        f"{capital(turn.lawn.name)}: {len(live)} {'entry' if len(live) == 1 else 'entries'}",
        lines=tuple(entry_of(event) for event in live),
    )


def entry_of(event: Event) -> str:
    """One line of a lawn's history: its day, and what was told."""
    words = describe(event).partition(": ")[2]
    if event.kind == kinds.NOTE:
        words = f"note: {event.text}"
    put = ", ".join(f"{row['high']:g} {row['unit']}" for row in event.body.get("put", ()) if row["said"])
    day = day_words(date.fromisoformat(event.happened_on))
    return f"{day}: {words.replace(f' on {day}', '')}{f' ({put})' if put else ''}."


def known(turn: Turn, day: Slot, place: Slot | None = None) -> Answer:
    """What was on record of a lawn on the evening of an earlier day, as it had been said until then."""
    if turn.lawn is None:
        return Answer(REFUSED, "Which lawn? Nothing is on record of it.")
    meant = day.amount.day
    if meant > turn.now.day:  # of a day of the year the one gone by
        meant = meant.replace(year=meant.year - 1, day=min(meant.day, 28) if meant.month == 2 else meant.day)
    until = meant.isoformat()
    told = [event for event in turn.events(turn.lawn.name) if event.said_on <= until]
    state = fold(turn.lawn.name, told)
    if not state.live:
        return Answer(ANSWERED, f"On {day_words(meant)} nothing was on record of {turn.lawn.name}.")
    lines = []
    for slot in state.facts.values():
        value = amount_words(slot.amount) if isinstance(slot.value, Amount) else turn.knowledge.name(str(slot.value))
        since = day_words(date.fromisoformat(slot.said_on))
        lines.append(f'{slot.name.replace("_", " ").capitalize()}: {value}, said as "{slot.why}" on {since}.')
    lines += [f"{entry_of(event)}" for event in state.live if event.kind not in (kinds.TOLD,)]
    return Answer(
        ANSWERED,
        f"{capital(turn.lawn.name)}, as known on {day_words(meant)}:",
        lines=tuple(lines),
    )
