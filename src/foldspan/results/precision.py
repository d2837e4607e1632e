"""Precision: the frozen answer of ``precision``, and its JSON form (schema version 1)."""

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
from foldspan.results.result import SCHEMA_VERSION, rounded


@dataclass(frozen=True, slots=True, repr=False)
class SitePrecision:
    """Errors on one site: within each tester, between testers, and in total [unit of the site].

    ``systematic`` says how far each tester reads above the mean of all, on clients all measured.
    """

    within: Mapping[str, Precision]
    between: Precision | None
    total: float | None
    systematic: Mapping[str, Offset]

    @property
    def smallest_change_of_two(self) -> dict[str, float]:
        """Tester → what means of two readings must differ by to be more than the tester's scatter."""
        return {tester: smallest_change(one.tem) for tester, one in self.within.items()}


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to know about the errors: a code, whom and which sites it concerns, and numbers."""

    code: str
    tester: str = ""
    quantities: tuple[str, ...] = ()
    count: int = 0
    of: int = 0
    unit: str = ""


@dataclass(frozen=True, slots=True, repr=False)
class PrecisionResult:
    """Technical errors by site, last digits by tester and unit, and what to know about them.

    ``alone`` are single readings that no other tester repeated: they count nowhere. ``clients``,
    ``testers`` and ``readings`` are those that count. ``problems`` name what of a table did not count.
    """

    sites: Mapping[str, SitePrecision]
    digits: Mapping[str, Mapping[str, Digits]]
    remarks: tuple[Remark, ...]
    alone: tuple[Repeat, ...]
    clients: int
    testers: tuple[str, ...]
    readings: int
    problems: tuple[Problem, ...] = ()

    def __repr__(self) -> str:
        """Return a line without any value."""
        return f"PrecisionResult(sites={len(self.sites)}, testers={len(self.testers)})"

    @property
    def is_empty(self) -> bool:
        """Whether nobody was measured twice."""
        return not self.sites

    @property
    def own_errors(self) -> dict[str, dict[str, Precision]]:
        """Errors that may stand for the published ones: tester → quantity → error.

        Named testers only, with enough clients on the site, whose repeats are not too much alike.
        """
        found: dict[str, dict[str, Precision]] = {}
        for quantity, site in self.sites.items():
            for tester, one in site.within.items():
                if tester and one.clients >= ENOUGH_CLIENTS and not is_too_alike(one, quantity):
                    found.setdefault(tester, {})[quantity] = one
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
                tester: {unit: _digit_tree(one) for unit, one in units.items()}
                for tester, units in self.digits.items()
            },
            "own_errors": {
                tester: {
                    name: {
                        "relative": rounded(one.relative, 4),
                        "degrees": one.degrees,
                        "clients": one.clients,
                    }
                    for name, one in errors.items()
                }
                for tester, errors in self.own_errors.items()
            },
            "remarks": [_remark_tree(one) for one in self.remarks],
        }


def _site_tree(name: str, site: SitePrecision) -> dict[str, Any]:
    target = target_of(name)
    return {
        "within": {tester: _error_tree(one) for tester, one in site.within.items()},
        "between": None if site.between is None else _error_tree(site.between),
        "total": rounded(site.total, 4),
        "systematic": {
            tester: {
                "difference": rounded(one.difference, 4),
                "low": rounded(one.low, 4),
                "high": rounded(one.high, 4),
                "clients": one.clients,
            }
            for tester, one in site.systematic.items()
        },
        "smallest_change_of_two": {
            tester: rounded(value, 4) for tester, value in site.smallest_change_of_two.items()
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


def _error_tree(one: Precision) -> dict[str, Any]:
    low, high = one.bounds
    return {
        "tem": rounded(one.tem, 4),
        "relative": rounded(one.relative, 4),
        "reliability": rounded(one.reliability, 4),
        "low": rounded(low, 4),
        "high": rounded(high, 4),
        "degrees": one.degrees,
        "clients": one.clients,
        "mean": rounded(one.mean, 2),
        "readings": one.readings,
    }


def _digit_tree(one: Digits) -> dict[str, Any]:
    return {
        "readings": one.readings,
        "on_0_or_5": one.on_0_or_5,
        "share": rounded(one.share, 3),
        "step": one.step,
        "is_rounded": one.is_rounded,
    }


def _remark_tree(one: Remark) -> dict[str, Any]:
    return {
        "code": one.code,
        "tester": one.tester,
        "quantities": list(one.quantities),
        "count": one.count,
        "of": one.of,
        "unit": one.unit,
    }
