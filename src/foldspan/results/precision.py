"""Precision: the frozen answer of ``precision``, and its JSON form (schema version 2)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from foldspan.measurement.technical_error import (
    ENOUGH_CLIENTS,
    WANTED_RELIABILITY,
    Digits,
    Offset,
    Precision,
    Repeat,
    is_too_alike,
    smallest_change,
    target_of,
)
from foldspan.problems import Problem
from foldspan.results.result import SCHEMA_VERSION
from foldspan.results.spoken import rounded


@dataclass(frozen=True, slots=True, repr=False)
class SitePrecision:
    """Errors on one site: within each tester, between testers, and in total [unit of the site]."""

    within: Mapping[str, Precision]
    """Tester → error within that tester."""
    between: Precision | None
    """Error between testers; None if no two measured the same clients."""
    total: float | None
    """Total error over all testers [unit of the site]; None if it cannot be calculated."""
    systematic: Mapping[str, Offset]
    """Tester → average difference from the mean of all testers, on clients whom all measured."""

    @property
    def minimal_detectable_change_of_two(self) -> dict[str, float]:
        """Tester → smallest difference between two means of two readings beyond the tester's scatter."""
        return {tester: smallest_change(precision.tem) for tester, precision in self.within.items()}


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to know about the errors: a code, whom and which sites it concerns, and numbers."""

    code: str
    """Code of the remark."""
    tester: str = ""
    """Tester it concerns, "" for all."""
    quantities: tuple[str, ...] = ()
    """Sites it concerns."""
    count: int = 0
    """How many [count]."""
    of: int = 0
    """Of how many [count]."""
    unit: str = ""
    """Unit of the readings it concerns, "" for all."""


@dataclass(frozen=True, slots=True, repr=False)
class PrecisionResult:
    """Technical errors by site, last digits by tester and unit, and what to know about them."""

    sites: Mapping[str, SitePrecision]
    """Quantity name → errors on that site."""
    digits: Mapping[str, Mapping[str, Digits]]
    """Tester → unit → last digits."""
    remarks: tuple[Remark, ...]
    """Remarks on the errors, the most serious first."""
    alone: tuple[Repeat, ...]
    """Single readings that no other tester repeated, which are not used."""
    clients: int
    """Number of clients used."""
    testers: tuple[str, ...]
    """Testers used."""
    readings: int
    """Number of readings used."""
    problems: tuple[Problem, ...] = ()
    """What in a table was not used, and anything unusual in it."""

    def __repr__(self) -> str:
        """Return a line without any value."""
        return f"PrecisionResult(sites={len(self.sites)}, testers={len(self.testers)})"

    @property
    def is_empty(self) -> bool:
        """Whether nobody was measured twice."""
        return not self.sites

    @property
    def own_errors(self) -> dict[str, dict[str, Precision]]:
        """Errors that can replace the published ones: tester → quantity → error.

        Only named testers with enough clients for the site, and repeats that are not too alike.
        """
        found: dict[str, dict[str, Precision]] = {}
        for quantity, site in self.sites.items():
            for tester, precision in site.within.items():
                if (
                    tester
                    and precision.clients >= ENOUGH_CLIENTS
                    and not is_too_alike(precision, quantity)
                ):
                    found.setdefault(tester, {})[quantity] = precision
        return found

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree; errors in the unit of the site, ``relative`` in % of the mean."""
        return {
            "schema_version": SCHEMA_VERSION,
            "counts": {
                "clients": self.clients,
                "testers": list(self.testers),
                "readings": self.readings,
                "readings_alone": len(self.alone),
            },
            "sites": {name: _site_tree(name, site) for name, site in self.sites.items()},
            "digit_preference": {
                tester: {unit: _digit_tree(ending) for unit, ending in units.items()}
                for tester, units in self.digits.items()
            },
            "own_errors": {
                tester: {
                    name: {
                        "relative": rounded(error.relative, 4),
                        "degrees": error.degrees,
                        "clients": error.clients,
                    }
                    for name, error in errors.items()
                }
                for tester, errors in self.own_errors.items()
            },
            "remarks": [_remark_tree(remark) for remark in self.remarks],
        }


def _site_tree(name: str, site: SitePrecision) -> dict[str, Any]:
    target = target_of(name)
    return {
        "within": {tester: _error_tree(precision) for tester, precision in site.within.items()},
        "between": None if site.between is None else _error_tree(site.between),
        "total": rounded(site.total, 4),
        "systematic": {
            tester: {
                "difference": rounded(offset.difference, 4),
                "low": rounded(offset.low, 4),
                "high": rounded(offset.high, 4),
                "clients": offset.clients,
            }
            for tester, offset in site.systematic.items()
        },
        "minimal_detectable_change_of_two": {
            tester: rounded(value, 4)
            for tester, value in site.minimal_detectable_change_of_two.items()
        },
        "targets": None
        if target is None
        else {
            "within": {"skilled": target.skilled_within, "beginner": target.beginner_within},
            "between": {"skilled": target.skilled_between, "beginner": target.beginner_between},
            "reliability": WANTED_RELIABILITY,
            "status": target.status,
        },
    }


def _error_tree(precision: Precision) -> dict[str, Any]:
    low, high = precision.bounds
    return {
        "tem": rounded(precision.tem, 4),
        "relative": rounded(precision.relative, 4),
        "reliability": rounded(precision.reliability, 4),
        "low": rounded(low, 4),
        "high": rounded(high, 4),
        "degrees": precision.degrees,
        "clients": precision.clients,
        "mean": rounded(precision.mean, 2),
        "readings": precision.readings,
    }


def _digit_tree(digits: Digits) -> dict[str, Any]:
    return {
        "readings": digits.readings,
        "on_0_or_5": digits.on_0_or_5,
        "share": rounded(digits.share, 3),
        "step": digits.step,
        "is_rounded": digits.is_rounded,
    }


def _remark_tree(remark: Remark) -> dict[str, Any]:
    return {
        "code": remark.code,
        "tester": remark.tester,
        "quantities": list(remark.quantities),
        "count": remark.count,
        "of": remark.of,
        "unit": remark.unit,
    }
