"""Visit: one client measured on one day by one tester, read from TOML, JSON or a mapping."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Any, Self

from pydantic import BaseModel, ConfigDict

from foldspan.files import read_tree
from foldspan.problems import FoldspanError
from foldspan.quantities import Sex
from foldspan.readings import Accepted, accept
from foldspan.visit_reader import TreeReader


class Site(BaseModel):
    """Readings of one site in its canonical unit, in the order taken."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    readings: tuple[float, ...]
    is_at_least: bool = False


class Client(BaseModel):
    """Who was measured: never a name. ``sex`` is the sex the published equations were built for."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    sex: Sex
    age_years: float
    code: str = ""
    ancestry: str = ""
    pregnant: bool = False
    athlete: bool = False


class Visit(BaseModel):
    """One client measured on one day: the input of the main job.

    ``sites`` maps quantity names such as ``triceps_mm`` to readings; ``site_variants`` maps folds to
    the variant at which they were taken, where that is known.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    client: Client
    sites: dict[str, Site]
    day: date | None = None
    tester: str = ""
    site_variants: dict[str, str] = {}
    warnings: tuple[Any, ...] = ()

    @classmethod
    def from_file(cls, path: str, *, accept_unusual: bool = False) -> Self:
        """Read a visit from a ``.toml`` or ``.json`` file, or from standard input for ``-``.

        Raises
        ------
        FoldspanError
            With every problem found in the file.
        """
        where = "standard input" if str(path) == "-" else str(path)
        return cls.from_dict(read_tree(str(path)), where=where, accept_unusual=accept_unusual)

    @classmethod
    def from_dict(
        cls, tree: Mapping[str, Any], *, where: str = "visit", accept_unusual: bool = False
    ) -> Self:
        """Read a visit from a mapping shaped like the file.

        Raises
        ------
        FoldspanError
            With every problem found.
        """
        reader = TreeReader(where, accept_unusual=accept_unusual)
        parts = reader.read(tree)
        errors = [problem for problem in reader.problems if problem.is_error]
        if errors:
            raise FoldspanError(errors)
        return cls(**parts, warnings=tuple(reader.problems))

    @cached_property
    def accepted(self) -> dict[str, Accepted]:
        """Accepted value of every site, by quantity name."""
        return {
            name: accept(name, site.readings, is_at_least=site.is_at_least)
            for name, site in self.sites.items()
        }
