"""Forward differentiation: values with their slopes, so that a formula gives its exact derivative.

A formula is a pure function of arrays. Handed duals instead, it works out the same values, operation
by operation, and carries beside them how fast they change with every input (forward differentiation,
Wengert 1964). A slope that is the same for everybody stays a plain number, and what several formulas
ask of the same input, such as its logarithm, is worked out once.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any, Self

import numpy as np

from foldspan.catalogue.card import Array

Slope = Array | float
Slopes = Mapping[Hashable, Slope]


def of_some(slope: Slope, rows: Array) -> Slope:
    """Return a slope for some of the people, by their numbers; a plain number is that of everybody."""
    return slope.take(rows) if isinstance(slope, np.ndarray) else slope


def scaled(slopes: Slopes, factor: Slope) -> Slopes:
    """Return every slope times a factor; that of an input with itself is one, and asks for nothing."""
    return {
        name: factor if type(slope) is float and slope == 1.0 else slope * factor
        for name, slope in slopes.items()
    }


def added(first: Slopes, second: Slopes) -> Slopes:
    """Return the slopes of a sum."""
    if not first or not second:
        return first or second
    both = dict(first)
    for name, slope in second.items():
        both[name] = both[name] + slope if name in both else slope
    return both


class Dual:
    """``value`` of shape (N,), and ``slopes``: input → derivative, an array or one number for all."""

    __slots__ = ("_known", "slopes", "value")

    def __init__(self, value: Array, slopes: Slopes) -> None:
        self.value = value
        self.slopes = slopes
        self._known: dict[Hashable, Dual] = {}

    @property
    def real(self) -> Array:
        """The value, for what a formula looks up by it."""
        return self.value

    def cached(self, name: Hashable, rule: Callable[[Array], tuple[Array, Slope]]) -> Dual:
        """Return a function of this value alone by its value and derivative, worked out once."""
        if name not in self._known:
            value, derivative = rule(self.value)
            self._known[name] = Dual(value, scaled(self.slopes, derivative))
        return self._known[name]

    def __add__(self, other: Any) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value + other.value, added(self.slopes, other.slopes))
        return Dual(self.value + other, self.slopes)

    def __radd__(self, other: Any) -> Dual:
        return Dual(other + self.value, self.slopes)

    def __neg__(self) -> Dual:
        return Dual(-self.value, scaled(self.slopes, -1.0))

    def __sub__(self, other: Any) -> Dual:
        if isinstance(other, Dual):
            return Dual(self.value - other.value, added(self.slopes, scaled(other.slopes, -1.0)))
        return Dual(self.value - other, self.slopes)

    def __rsub__(self, other: Any) -> Dual:
        return Dual(other - self.value, scaled(self.slopes, -1.0))

    def __mul__(self, other: Any) -> Dual:
        if isinstance(other, Dual):
            both = added(scaled(self.slopes, other.value), scaled(other.slopes, self.value))
            return Dual(self.value * other.value, both)
        return Dual(self.value * other, scaled(self.slopes, other))

    def __rmul__(self, other: Any) -> Dual:
        return Dual(other * self.value, scaled(self.slopes, other))

    def __truediv__(self, other: Any) -> Dual:
        if not isinstance(other, Dual):
            return Dual(self.value / other, scaled(self.slopes, 1.0 / other))
        value = self.value / other.value
        below = scaled(other.slopes, -value / other.value)
        return Dual(value, added(scaled(self.slopes, 1.0 / other.value), below))

    def __rtruediv__(self, other: Any) -> Dual:
        value = other / self.value
        return Dual(value, scaled(self.slopes, -value / self.value))

    def __pow__(self, power: float) -> Dual:
        return self.cached(power, lambda x: (x**power, power * x ** (power - 1)))

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *given: Any, **more: Any) -> Any:
        """What numpy's functions do with a dual, also where the other one is an array."""
        rule = _OPERATIONS.get(ufunc)
        if rule is not None and method == "__call__" and not more:
            return rule(*given)
        alone = _FUNCTIONS.get(ufunc)
        if alone is None or method != "__call__" or more:
            return NotImplemented
        return given[0].cached(ufunc, alone)

    def __array_function__(self, function: Any, types: Any, given: Any, more: Any) -> Any:
        """``np.real`` and ``np.where`` of duals."""
        if function is np.real:
            return self.value
        if function is not np.where or more:
            return NotImplemented
        return self.chosen(*given)

    @classmethod
    def chosen(cls, condition: Array, if_true: Any, if_false: Any) -> Self:
        """Return ``one`` where the condition holds and ``other`` elsewhere."""
        a, b = (each if isinstance(each, Dual) else Dual(each, {}) for each in (if_true, if_false))
        slopes = {
            name: np.where(condition, a.slopes.get(name, 0.0), b.slopes.get(name, 0.0))
            for name in {**a.slopes, **b.slopes}
        }
        return cls(np.where(condition, a.value, b.value), slopes)


def _either(mine: Callable[..., Any], theirs: Callable[..., Any]) -> Callable[..., Any]:
    """The operation of the dual among two arguments, from the left or from the right."""
    return lambda left, right: mine(left, right) if isinstance(left, Dual) else theirs(right, left)


_OPERATIONS: dict[np.ufunc, Callable[..., Any]] = {
    np.add: _either(Dual.__add__, Dual.__radd__),
    np.subtract: _either(Dual.__sub__, Dual.__rsub__),
    np.multiply: _either(Dual.__mul__, Dual.__rmul__),
    np.true_divide: _either(Dual.__truediv__, Dual.__rtruediv__),
    np.negative: Dual.__neg__,
}
_FUNCTIONS: dict[np.ufunc, Callable[[Array], tuple[Array, Slope]]] = {
    np.log: lambda x: (np.log(x), 1.0 / x),
    np.log10: lambda x: (np.log10(x), np.log10(np.e) / x),
    np.sqrt: lambda x: (np.sqrt(x), 0.5 / np.sqrt(x)),
    np.exp: lambda x: (np.exp(x), np.exp(x)),
    np.square: lambda x: (np.square(x), 2.0 * x),
}
