"""Raw changes: the sum of the folds and every girth at two visits, in the units of the reader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from foldspan.display_units import ShownUnits
from foldspan.followup.difference import Change, Difference
from foldspan.quantities import BY_NAME, WAISTS
from foldspan.text.change import BEYOND_ERROR, span_words


@dataclass(frozen=True, slots=True, repr=False)
class RawChange:
    """What was measured at two visits and needs no equation, in ``unit``.

    ``name`` is the quantity, "" for the sum of ``folds`` folds.
    """

    name: str
    label: str
    unit: str
    difference: Difference
    folds: int = 0

    @property
    def is_main(self) -> bool:
        """Whether it is the sum of folds or a waist."""
        return self.folds > 0 or self.name in WAISTS

    def ends(self) -> tuple[str, str]:
        """Return its value at both visits, with the unit."""
        difference = self.difference
        return f"{difference.earlier:.1f} {self.unit}", f"{difference.later:.1f} {self.unit}"

    def line(self) -> str:
        """Return it in one line for the trainer: from, to, how much, and whether it is real."""
        real = f"; {BEYOND_ERROR}" if self.difference.is_real else ""
        earlier, later = self.ends()
        return f"{earlier} to {later}: {span_words(self.difference, self.unit)}{real}"


def raw_changes(change: Change, units: ShownUnits) -> list[RawChange]:
    """Return what changed of the folds and girths that were measured at both visits."""
    found = []
    if change.folds is not None:
        names = [name for name in change.used if BY_NAME[name].kind == "skinfold"]
        label = BY_NAME[names[0]].label if len(names) == 1 else (f"sum of {len(names)} skinfolds")
        name = names[0] if len(names) == 1 else ""
        found.append(RawChange(name, label, "mm", change.folds, len(names)))
    per = units.per_length
    return found + [
        RawChange(
            name, BY_NAME[name].label, units.length,
            replace(girth, earlier=girth.earlier / per, later=girth.later / per, se=girth.se / per),
        )
        for name, girth in change.girths.items()
    ]  # fmt: skip


def changes_shown(changes: Sequence[RawChange]) -> list[RawChange]:
    """Return the sum of folds and one waist, and the other girths that changed beyond chance."""
    waists = [change for change in changes if change.name in WAISTS]
    real = [change for change in waists if change.difference.is_real]
    waist = [*real, *waists][:1]
    first = [change for change in changes if change.folds] + waist
    rest = [change for change in changes if change not in waists and change not in first]
    return first + [change for change in rest if change.difference.is_real]
