"""Is today fit for the job: each condition against its threshold, the worst decides, and what was not said is named."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from assistant.answer import ANSWERED, ASKS, Answer, Ask
from assistant.calculations.timing import Finding, Threshold, judge, worst
from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.terms import Range, Slot

_MEASURES = {"temperature": ("degF", "Temperature"), "wind": ("mph", "Wind")}
_WORDS = {"yes": "yes", "care": "with care", "no": "no"}
_HERBICIDES = ("auxin", "herbicide")


def spray(
    turn: Turn,
    tank: Slot | None = None,
    temperature: Slot | None = None,
    wind: Slot | None = None,
    weather: Slot | None = None,
    tool: Slot | None = None,
    seed_day: Slot | None = None,
    day: Slot | None = None,
) -> Answer:
    """May I spray: what is in the tank comes first, because feed and herbicide have different rules."""
    job = _job(turn, tank)
    if job:
        return _verdict(turn, job, tank, temperature, wind, weather, tool, seed_day)
    jobs = ("liquid_feed", *_HERBICIDES)
    rows, sources = [], []
    for one in jobs:
        findings = _findings(turn, one, temperature, wind)
        signs = _signs(turn, one, weather)
        verdict = _overall(
            [finding.verdict for finding in findings] + [sign["verdict"][one] for sign in signs], complete=False
        )
        name = turn.knowledge.entry(f"thresholds.jobs.{one}.name")
        said = [
            *(_finding_words(turn, finding) for finding in findings),
            *(f"{sign['says']}: {sign['why']}" for sign in signs),
        ]
        rows.append(f"{name[:1].upper()}{name[1:]}: {_so_far(verdict, said)}")
        sources += [finding.row.source for finding in findings] + [sign["source"] for sign in signs]
    inputs = _inputs(tank, temperature, wind, weather, tool)
    ask = Ask("tank", "What is in the tank: a liquid feed or starter, or a herbicide (which active ingredient)?")
    cautions = (turn.knowledge.entry("thresholds.cautions.label"),)
    return Answer(
        ASKS,
        "That hangs on what is in the tank.",
        lines=tuple(rows),
        inputs=inputs,
        cautions=cautions,
        sources=turn.cite(*sources),
        asks=ask,
    )


def feed(
    turn: Turn,
    product: Slot | None = None,
    temperature: Slot | None = None,
    wind: Slot | None = None,
    weather: Slot | None = None,
    tool: Slot | None = None,
    seed_day: Slot | None = None,
    day: Slot | None = None,
) -> Answer:
    """May I put feed down: liquid or granular by the product or the tool; liquid where neither says."""
    return _verdict(turn, _feed_job(turn, product, tool), product, temperature, wind, weather, tool, seed_day)


def _job(turn: Turn, tank: Slot | None) -> str:
    if tank is None:
        return ""
    kind, _, key = str(tank.value).partition(".")
    if kind == "ingredients":
        return str(turn.knowledge.entry(f"ingredients.{key}.group"))
    return "liquid_feed"


def _feed_job(turn: Turn, product: Slot | None, tool: Slot | None) -> str:
    key = str(product.value).partition(".")[2] if product else ""
    form = turn.knowledge.entry(f"products.{key}.form") if key else None
    if form:
        return "liquid_feed" if form == "liquid" else "granular_feed"
    if tool and tool.value in ("tool.backpack", "tool.hose_end"):
        return "liquid_feed"
    if tool and tool.value == "tool.spreader":
        return "granular_feed"
    return "feed"


def _verdict(
    turn: Turn,
    job: str,
    tank: Slot | None,
    temperature: Slot | None,
    wind: Slot | None,
    weather: Slot | None,
    tool: Slot | None,
    seed_day: Slot | None,
) -> Answer:
    both = ("liquid_feed", "granular_feed") if job == "feed" else (job,)
    checks = turn.knowledge.entry("thresholds.checks")
    rows: list[str] = []
    sources: list[str] = []
    verdicts: list[str] = []
    deciding = ""
    settled: set[str] = set()
    for one in both:
        findings = _findings(turn, one, temperature, wind)
        signs = _signs(turn, one, weather)
        settled = {finding.measure for finding in findings} | {sign["answers"] for sign in signs}
        prefix = (
            f"{turn.knowledge.entry(f'thresholds.jobs.{one}.name')}: ".replace("a ", "", 1).capitalize()
            if len(both) > 1
            else ""
        )
        for verdict, words in sorted(
            [(finding.verdict, _finding_words(turn, finding)) for finding in findings]
            + [
                (
                    sign["verdict"][one],
                    f"{sign['says'][:1].upper()}{sign['says'][1:]}: {sign['why']} ({turn.short(sign['source'])})",
                )
                for sign in signs
            ],
            key=lambda pair: -("yes", "care", "no").index(pair[0]),
        ):
            rows.append(f"{prefix}{words}: {_WORDS[verdict]}.")
            verdicts.append(verdict)
            deciding = deciding or (words if verdict != "yes" else "")
        sources += [finding.row.source for finding in findings] + [sign["source"] for sign in signs]
    young = _young_grass(turn, job, seed_day)
    if young:
        rows.insert(0, young[1])
        verdicts.append(young[0])
        sources.append(young[2])
    open_checks = [words for name, words in checks.items() if name not in settled]
    if len(open_checks) == len(checks) and not young:
        ask = Ask("temperature", "How warm is it and how warm will it get, how much wind, and is rain coming?")
        return Answer(
            ASKS, "Tell me the weather and I can say.", asks=ask, inputs=_inputs(tank, temperature, wind, weather, tool)
        )
    verdict = _overall(verdicts, complete=not open_checks)
    if open_checks:
        rows.append(f"Not checked: {'; '.join(open_checks)}.")
    name = _job_name(turn, job, tank)
    headline = {
        "no": f"No, not today for {name}.",
        "care": f"With care, for {name}.",
        "yes": f"Yes, today is fit for {name}.",
    }[verdict]
    if verdict == "care" and all(one == "yes" for one in verdicts):
        headline = f"So far nothing against {name}, but not all of it is checked."
    return Answer(
        ANSWERED,
        headline,
        verdict=verdict,
        lines=tuple(rows),
        inputs=_inputs(tank, temperature, wind, weather, tool),
        cautions=tuple(_cautions(turn, job, tool, verdict, seed_day)),
        sources=turn.cite(*sources),
    )


def _job_name(turn: Turn, job: str, tank: Slot | None) -> str:
    if tank:
        return turn.knowledge.name(str(tank.value))
    return "feeding" if job == "feed" else str(turn.knowledge.entry(f"thresholds.jobs.{job}.name"))


def _overall(verdicts: list[str], complete: bool) -> str:
    """The worst verdict; never a yes while something was not checked."""
    found = worst(verdicts)
    return "care" if found == "yes" and not complete else found


def _so_far(verdict: str, said: list[str]) -> str:
    return (
        f"{'; '.join(said)}: {_WORDS[verdict] if verdict != 'care' or said else 'not checked'}."
        if said
        else "say the temperature, wind and rain."
    )


def _table(turn: Turn, job: str) -> list[Threshold]:
    made = []
    for data in turn.knowledge.entry("thresholds.figures"):
        if data["job"] == job:
            row = row_of(data)
            low, high = (
                (row.amount.q.low, row.amount.q.high)
                if isinstance(row.amount.q, Range)
                else (row.amount.q, row.amount.q)
            )
            made.append(
                Threshold(data["measure"], job, data["verdict"], low, high, _Why(row.source, data.get("why", "")))
            )
    return made


class _Why:
    """What stands behind a band: its source, and its reason."""

    def __init__(self, source: str, why: str) -> None:
        self.source, self.why = source, why


def _findings(turn: Turn, job: str, temperature: Slot | None, wind: Slot | None) -> list[Finding]:
    table = _table(turn, job)
    found = []
    for measure, slot in (("temperature", temperature), ("wind", wind)):
        if slot is None:
            continue
        ends = slot.q if isinstance(slot.q, Range) else Range(slot.q, slot.q)
        findings = [finding for finding in (judge(measure, job, end, table) for end in ends) if finding]
        if findings:  # a range is judged by its worse end
            found.append(max(findings, key=lambda finding: ("yes", "care", "no").index(finding.verdict)))
    return found


def _signs(turn: Turn, job: str, weather: Slot | None) -> list[dict[str, Any]]:
    seen = {name.partition(".")[2] for name in weather.value} if weather else set()
    if "heavy_rain_coming" in seen:
        seen.discard("rain_coming")
    if seen & {"rain_coming", "heavy_rain_coming", "raining"}:
        seen.discard("no_rain")
    return [sign for sign in turn.knowledge.entry("thresholds.signs") if sign["sign"] in seen]


def _finding_words(turn: Turn, finding: Finding) -> str:
    """`Temperature 86 °F: 1 °F over the limit of 85 °F (...; quick nitrogen burns leaves in heat)`."""
    unit, label = _MEASURES[finding.measure]
    say, gap_unit = turn.say, "delta_degF" if unit == "degF" else unit
    gap, edge = say(finding.margin, gap_unit), say(finding.edge, unit)
    place = "over" if finding.over else "under"
    if finding.margin.magnitude == 0:
        words = f"right at {edge}"
    elif finding.verdict == "yes":
        words = f"{gap} inside {edge}"
    elif finding.verdict == "no":
        words = f"{gap} {place} the limit of {edge}"
    else:
        words = f"{gap} {place} {edge}"
    if finding.limit is not None:
        words += (
            f", {say(abs(finding.limit - finding.value), gap_unit)} short of the limit of {say(finding.limit, unit)}"
        )
    reasons = [turn.short(finding.row.source)] + ([finding.row.why] if finding.row.why else [])
    return f"{label} {say(finding.value, unit)}: {words} ({'; '.join(reasons)})"


def _young_grass(turn: Turn, job: str, seed_day: Slot | None) -> tuple[str, str, str] | None:
    """What seedlings on the ground mean for the job; the seed day comes from the record or the question."""
    if seed_day is None:
        return None
    age = (turn.now.day - seed_day.amount.day).days
    if age < 0 or age > 120:
        return None
    row = turn.knowledge.rows("thresholds.young_grass.herbicide_mowings")[0]
    if job in _HERBICIDES:
        return "no", f"Seeded {age} days ago: {row.note} ({turn.short(row.source)}): no.", row.source
    return None


def _cautions(turn: Turn, job: str, tool: Slot | None, verdict: str, seed_day: Slot | None) -> Iterable[str]:
    words = turn.knowledge.entry("thresholds.cautions")
    if job in _HERBICIDES:
        yield words["label"]
        yield words["herbicide_water"]
        yield words["gear"]
        yield words["licence"]
    elif job != "granular_feed" and verdict != "no":
        yield words["feed_water"]
    if verdict != "no" or job in _HERBICIDES:
        yield words["water_edge"]
    if tool and tool.value == "tool.hose_end":
        yield words["hose_end"]
    if tool and tool.value == "tool.backpack":
        yield words["backpack"]


def _inputs(*slots: Slot | None) -> tuple[Slot, ...]:
    return tuple(slot for slot in slots if slot)
