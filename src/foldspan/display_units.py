"""Shown units: kilograms and centimetres, or pounds and inches; folds are in millimetres everywhere.

And how numbers are written for staff: the ends of a range, and what has a sign.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.quantities import BY_NAME, CENTIMETRES_PER, KILOGRAMS_PER


def whole_ends(ends: tuple[float, float]) -> tuple[int, int]:
    """Return the ends of a range as whole numbers, halves to even: the same on every page.

    Two ranges of one width look it but for one; never less than one apart. They come from the two
    decimals of the JSON, so that whoever rounds those gets the same.
    """
    low, high = (round(round(end, 2)) for end in ends)
    return low, max(high, low + 1)


def signed(value: float, digits: int) -> str:
    """Return a number with its sign, as a change is written; what rounds to nought has none.

    Examples
    --------
    >>> signed(1.25, 1), signed(-0.04, 1), signed(-0.004, 2)
    ('+1.2', '0.0', '0.00')
    """
    nought = round(value, digits) == 0.0
    return f"{0.0 if nought else value:{'' if nought else '+'}.{digits}f}"


@dataclass(frozen=True, slots=True)
class ShownUnits:
    """The units that a page is written in; ``system`` is ``metric`` or ``us``."""

    system: str
    """``metric`` or ``us``."""
    mass: str
    """Unit of mass."""
    length: str
    """Unit of length."""

    @property
    def per_mass(self) -> float:
        """Kilograms in one unit of mass."""
        return KILOGRAMS_PER[self.mass]

    @property
    def per_length(self) -> float:
        """Centimetres in one unit of length."""
        return CENTIMETRES_PER[self.length]

    def unit_of(self, name: str) -> str:
        """Return the unit in which a quantity is shown."""
        return {"kg": self.mass, "cm": self.length}.get(BY_NAME[name].unit, BY_NAME[name].unit)

    def of_all(self) -> dict[str, str]:
        """Return the unit in which each quantity is shown, by its name."""
        return {name: self.unit_of(name) for name in BY_NAME}

    def shown(self, name: str, value: float) -> float:
        """Return a value in its canonical unit as it is shown."""
        per = {"kg": self.per_mass, "cm": self.per_length}.get(BY_NAME[name].unit, 1.0)
        return value / per


METRIC = ShownUnits("metric", "kg", "cm")
US = ShownUnits("us", "lb", "in")
UNITS = {units.system: units for units in (METRIC, US)}
