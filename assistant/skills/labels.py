"""What a product is: its analysis and weight off the label on the shelf, its only grade, or a stand-in that is said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from assistant.knowledge_base import row_of
from assistant.skills.turn import Turn
from assistant.terms import Amount, Analysis, Range, over_range

NUTRIENTS = ("N", "P2O5", "K2O")


@dataclass(frozen=True, slots=True)
class Label:
    """Analysis and weight per volume; `words` say whose they are, where they are not the product's own grade."""

    analysis: Analysis
    density: Amount | None
    words: str = ""

    def nutrients(self, amount: Any) -> dict[str, Any]:
        """N, P2O5 and K2O in an amount of the product, or in a rate of it."""
        from assistant.calculations.feed import nutrient

        heavy = self.density.q if self.density else None
        return {
            which: over_range(lambda one, which=which: nutrient(one, self.analysis, which, heavy), amount)
            for which in NUTRIENTS
        }


def label_put(turn: Turn, row: dict[str, Any]) -> Label | None:
    """The label of what went down: the analysis that was told with it, else that of its product."""
    label = label_of(turn, row["what"])
    if "analysis" not in row:
        return label
    return Label(Analysis(*row["analysis"]), label.density if label else None, "as you said")


def amount_put(row: dict[str, Any]) -> Any:
    """How much of it went down, of a row of what an application put down: a quantity, or a Range of two."""
    from assistant.units import Q

    low, high = Q(row["low"], row["unit"]), Q(row["high"], row["unit"])
    return low if row["low"] == row["high"] else Range(low, high)


def label_of(turn: Turn, product: str) -> Label | None:
    """The label of a product; none where nothing is known of it."""
    facts = turn.shelf[product].facts if product in turn.shelf else {}
    entry = turn.knowledge.entry(f"products.{product.partition('.')[2]}") or {}
    example = entry.get("example", {})
    stand_in = row_of(example["density"]).amount if "density" in example else None
    if "analysis" in facts:
        density = facts["density"].amount if "density" in facts else stand_in
        return Label(facts["analysis"].amount.analysis, density, "off the label")
    if "grade" in entry:
        return Label(Analysis(*map(float, entry["grade"])), None)
    if "analysis" in example:
        return Label(Analysis(*example["analysis"]), stand_in, "assumed")
    return None
