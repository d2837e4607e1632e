"""Visit: one client measured on one day by one tester, read from TOML, JSON or a mapping."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from foldspan.external.combine import OutsideResult
from foldspan.files.input import read_tree
from foldspan.intake.model import Intake
from foldspan.measurement.accepted_values import Accepted, OwnError
from foldspan.measurement.conditions import HowTaken
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import ANCESTRIES, BY_NAME, MEASURED, Sex
from foldspan.standards.backgrounds import ancestry_of, background_of, read_background
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.visit.from_row import RowFacts, parts_of_row
from foldspan.visit.keys import MOST_READINGS
from foldspan.visit.reader import TreeReader
from foldspan.visit.refused import cannot_wait
from foldspan.visit.to_tree import tree_of

# warnings about what was told, not about a measurement
ABOUT_SELF_REPORTS = ("W126", "W127", "W128")

Reading = Annotated[float, Field(gt=0.0, allow_inf_nan=False)]


class Site(BaseModel):
    """Readings of one site in its canonical unit, in the order taken."""

    model_config = ConfigDict(frozen=True, extra="forbid", hide_input_in_errors=True)

    readings: tuple[Reading, ...] = Field(min_length=1, max_length=MOST_READINGS, repr=False)
    """One to three, in the order taken [canonical unit of the quantity]."""
    is_at_least: bool = False
    """Whether a skinfold went off the end of the scale."""
    unit: str = ""
    """Unit in which they were typed, "" for the canonical unit or a mixture; slips are sought in
    it."""


class Client(BaseModel):
    """Who was measured: never a name."""

    model_config = ConfigDict(frozen=True, extra="forbid", hide_input_in_errors=True)

    sex: Sex | Literal["both"] = Field(repr=False)
    """Which published equations to use, those for women or men; ``both`` for the two results."""
    age_years: float = Field(ge=0.0, le=120.0, allow_inf_nan=False, repr=False)
    """Age [years]."""
    code: str = ""
    """A made-up code, never a name."""
    ancestry: Literal["", *ANCESTRIES] = Field(default="", repr=False)  # type: ignore[valid-type]
    """Ancestry in the words that equations use, "" if not stated."""
    family_background: str = Field(default="", repr=False)
    """Family background in the client's own words."""
    pregnant: bool = Field(default=False, repr=False)
    """Whether pregnant: no range then."""
    athlete: bool = Field(default=False, repr=False)
    """Whether trained as an athlete."""

    @property
    def background(self) -> str:
        """Family background that health standards go by; "" where none that they know was stated."""
        return background_of(read_background(self.family_background).word, self.ancestry)

    @property
    def known_ancestry(self) -> str:
        """Ancestry that equations go by; "" where nothing was stated that any of them knows."""
        return ancestry_of(self.family_background, self.ancestry)

    @property
    def known_sex(self) -> Sex | None:
        """The sex whose equations fit, None where that is open."""
        return None if self.sex == "both" else self.sex


class Visit(BaseModel):
    """One client measured on one day: the input for a range."""

    model_config = ConfigDict(frozen=True, extra="forbid", hide_input_in_errors=True)

    client: Client
    """Who was measured."""
    sites: dict[str, Site] = Field(repr=False)
    """Quantity name such as ``triceps_mm`` → its readings."""
    day: date | None = None
    """Day of the visit."""
    hour: float | None = Field(default=None, ge=0.0, lt=24.0)
    """Time of day [h], 0 to 24."""
    tester: str = ""
    """The tester's code."""
    calliper: str = ""
    """A name for the calliper."""
    site_variants: dict[str, str] = {}
    """Skinfold → the version of the site at which it was taken, if known."""
    reference_fat_percent: float | None = Field(default=None, gt=0.0, lt=100.0, repr=False)
    """Body fat by a reference method [% of weight]; ``reconcile`` does not use it."""
    reference_method: Literal["", "density", "dxa"] = ""
    """Reference method of ``reference_fat_percent``: ``density`` or ``dxa``."""
    outside_results: tuple[OutsideResult, ...] = Field(default=(), repr=False)
    """Results from elsewhere; included in the range only if asked for."""
    intake: Intake = Field(default=Intake(), repr=False)
    """What the client reported before measuring."""
    how_taken: HowTaken = HowTaken()
    """How the readings were taken."""
    own_errors: dict[str, OwnError] = Field(default={}, repr=False)
    """The tester's own errors by quantity; see ``with_own_errors``."""
    warnings: tuple[Any, ...] = Field(default=(), repr=False)
    """Unusual values that were used as given."""

    @model_validator(mode="after")
    def _possible(self) -> Self:
        """Hold a visit that was built by hand to the same names and spans as a file.

        The spans are those of adults who are not pregnant, here as in ``visit.reader``.
        """
        grown = self.client.age_years >= ADULT_AGE and not self.client.pregnant
        for name, site in self.sites.items():
            if name not in MEASURED:
                raise ValueError(f"{name} is not a measured quantity")
            low, high = BY_NAME[name].possible(None)
            if grown and not all(low <= reading <= high for reading in site.readings):
                raise ValueError(f"{name}: impossible reading, see E102")
        return self

    @classmethod
    def from_file(cls, path: str, *, accept_unusual: bool = False) -> Self:
        """Read a visit from a ``.toml`` or ``.json`` file, or from standard input with ``-``.

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
            raise FoldspanError([*cannot_wait(tree, parts, reader.doubted, where), *errors])
        return cls(**parts, warnings=tuple(reader.problems))

    @classmethod
    def from_row(cls, row: RowFacts) -> Self:
        """Make a visit from a row of a table; very unusual values are accepted.

        Raises
        ------
        FoldspanError
            With every problem found, such as an unknown sex or age.
        """
        reader = TreeReader("visit", accept_unusual=True)
        parts = parts_of_row(reader, row)
        if errors := [problem for problem in reader.problems if problem.is_error]:
            raise FoldspanError(errors)
        return cls(**parts, warnings=tuple(reader.problems))

    def to_dict(self) -> dict[str, Any]:
        """Return the visit as a mapping shaped like the file, which ``from_dict`` reads back.

        It holds only texts, numbers, booleans, lists and mappings, so that both JSON and TOML can
        store it. Numbers are kept to the last bit, a text with a unit as a number and that unit,
        the time of day to the minute. ``warnings`` are not part of it, because they are found
        again, nor are ``own_errors``, which ``with_own_errors`` adds. A visit with very
        unusual values that were accepted is read back with ``accept_unusual=True``.

        Examples
        --------
        >>> visit = Visit.from_dict({
        ...     "client": {"sex": "female", "age_years": 41},
        ...     "girths_cm": {"waist_midpoint": ["32 1/2 in", "32.25 in"]},
        ... })
        >>> visit.to_dict()["girths_cm"]
        {'waist_midpoint': ['32.5 in', '32.25 in']}
        >>> Visit.from_dict(visit.to_dict()) == visit
        True
        """
        return tree_of(self)

    @cached_property
    def accepted(self) -> dict[str, Accepted]:
        """Accepted value of every site, by quantity name."""
        return {
            name: self.how_taken.accept(
                name, site.readings, is_at_least=site.is_at_least, own=self.own_errors
            )
            for name, site in self.sites.items()
        }

    @property
    def doubts(self) -> tuple[Problem, ...]:
        """The warnings about measurements, without those about what the client reported."""
        return tuple(warning for warning in self.warnings if warning.code not in ABOUT_SELF_REPORTS)

    def for_sex(self, sex: Sex) -> Self:
        """Return the visit with the sex set to that of one set of equations."""
        client = self.client.model_copy(update={"sex": sex})
        known = {name: getattr(self, name) for name in type(self).model_fields}
        return type(self)(**known | {"client": client})

    def with_own_errors(self, own: Mapping[str, OwnError]) -> Self:
        """Return the visit with the tester's own technical errors, by quantity name."""
        known = {name: getattr(self, name) for name in type(self).model_fields}
        return type(self)(**known | {"own_errors": dict(own)})
