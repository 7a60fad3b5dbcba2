"""What is said on top of an amount: at double the rate, three times over, every month. Any answer of an amount takes it."""

from __future__ import annotations

from dataclasses import replace

from assistant.answer import ANSWERED, Answer, Figure
from assistant.skills.turn import Turn
from assistant.wording import written

_EACH_WAY = "seed.each_way"  # `half rate in two directions`: the question itself halves it


def repeated(turn: Turn, answer: Answer) -> Answer:
    """The answer with its amount at the share of the rate that was said, and for all applications together."""
    if answer.status != ANSWERED or not answer.figures or not _is_amount(answer.figures[0]):
        return answer
    first = answer.figures[0]
    share = next((name for name in turn.parse.names if name.type == "factor"), None)
    if share is not None and not turn.parse.intent.startswith(_EACH_WAY):
        by = float(turn.knowledge.entry(f"names.{share.id}.times"))
        amounts = [figure for figure in answer.figures if _is_amount(figure)]
        scaled = {id(figure): _times(figure, by, figure.label) for figure in amounts}
        headline = answer.headline
        for place, figure in enumerate(amounts):  # marks first: an amount may read like another one scaled
            headline = headline.replace(_words(figure), f"\0{place}\0", 1)
        for place, figure in enumerate(amounts):
            headline = headline.replace(f"\0{place}\0", _words(scaled[id(figure)]), 1)
        lines = [f"At the rate as said: {answer.headline}. The rest is of that rate."]
        if by > 1:
            lines.append("Never more than the label's rate, nor than your state allows at once.")
        answer = replace(
            answer,
            headline=f"{headline}, at {share.text}",
            figures=tuple(scaled[id(figure)] for figure in amounts),
            lines=(*lines, *answer.lines),
            working=(*answer.working, f"{_words(first)} x {by:g} = {_words(scaled[id(first)])}"),
        )
        first = scaled[id(first)]
    bound = {amount.span for slot in turn.parse.slots.values() for amount in slot.amounts}
    count = next((one for one in turn.parse.amounts if one.of == "time" and one.span not in bound), None)
    if count is not None:
        total = _times(first, float(count.low), f"{first.label} in all")
        return replace(
            answer,
            figures=(*answer.figures, total),
            lines=(f"That is for one application; {count.low:g} come to {_words(total)}.", *answer.lines),
            working=(*answer.working, f"{_words(first)} x {count.low:g} = {_words(total)}"),
        )
    if any(name.type == "again" for name in turn.parse.names):
        return replace(answer, lines=("That is for one application.", *answer.lines))
    return answer


def _is_amount(figure: Figure) -> bool:
    return bool(figure.of and figure.unit and not figure.per) and figure.day is None


def _times(figure: Figure, by: float, label: str) -> Figure:
    return replace(figure, label=label, low=figure.low * by, high=figure.high * by)


def _words(figure: Figure) -> str:
    return written(figure.low, figure.high, figure.unit)
