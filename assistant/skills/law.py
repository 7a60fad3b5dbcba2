"""What a state's law says of feeding lawns, as far as it was read: dates, limits, and the word to check it again."""

from __future__ import annotations

from typing import Any

from assistant.answer import ANSWERED, Answer, Figure, amount_words
from assistant.knowledge_base import row_of
from assistant.skills.dates import fall_year, law_rows, limit_rows, on
from assistant.skills.timing import check_law
from assistant.skills.turn import Turn
from assistant.terms import Slot, short_day


def law(turn: Turn, state: Slot, nutrient: Slot | None = None, product: Slot | None = None) -> Answer:
    """The closed dates first, then what holds all year, each with whom it binds."""
    name = turn.knowledge.name(str(state.value))
    rows = law_rows(turn, state)
    caps = [row for row in turn.knowledge.rows("feeding.nitrogen_cap") if row.where == name]
    limits = limit_rows(turn, state)
    if not (rows or caps or limits):
        words = "That does not mean there is none: counties and towns have their own. Ask the county extension office."
        return Answer(ANSWERED, f"I have read no lawn fertilizer law of {name}", lines=(words,), inputs=(state,))
    year = fall_year(turn)
    lines = [
        f"{' and '.join(row['nutrients'])} {'held down' if 'most' in row else 'not'} from {short_day(on(year, row['from']))} to {short_day(on(year + 1, row['to']))}: {row['who']}."
        for row in rows
    ]
    lines += [f"At most {turn.say(cap.amount.q, 'lb', cap.amount.per)} of N in one application." for cap in caps]
    lines += [limit_words(row) for row in limits]
    return Answer(
        ANSWERED,
        f"{name}: {lines[0]}",
        figures=tuple(Figure("no feeding", day=on(year, row["from"]), until=on(year + 1, row["to"])) for row in rows),
        lines=tuple(lines[1:]),
        cautions=check_law(turn, state),
        inputs=(state,),
        sources=turn.cite(*dict.fromkeys(row["source"] for row in (*rows, *limits)), *(cap.source for cap in caps)),
    )


def limit_words(row: dict[str, Any]) -> str:
    """One limit in a sentence: what, how much, unless, and whom it binds."""
    figure = _amount(row) if "low" in row else ""
    unless = f" Excepted: {row['unless']}." if row.get("unless") else ""
    who = f" Binds: {row['who']}." if row.get("who") else ""
    what = row["what"]
    if what == "phosphorus" and not figure:
        trace = f" in products above {_amount(row['trace'])} P2O5" if "trace" in row else ""
        test = f" A soil test counts for {_amount(row['test'])}." if "test" in row else ""
        return f"No phosphate on lawns{trace}.{unless}{test}{who}"
    if what == "phosphorus":
        return f"Phosphate at most {figure}: {row.get('who', '')}.{unless}"
    if what == "nitrogen":
        which = "Quick nitrogen" if row["kind"] == "soluble" else "Nitrogen"
        return f"{which} at most {figure} {'a year' if row['kind'] == 'year' else 'at once'}.{unless}{who}"
    if what == "slow":
        return f"At least {figure} of the nitrogen slow-release.{who}"
    if what == "water":
        near = f", {_amount(row['shielded'])} with a shielded or drop spreader" if "shielded" in row else ""
        return f"Stay {figure} from open water{near}.{unless}{who}"
    return f"{what.replace('_', ' ').capitalize()}{f' ({figure})' if figure else ''}: {row.get('who', '')}.{unless}"


def _amount(row: dict[str, Any]) -> str:
    return amount_words(row_of({"source": "", **row}).amount)
