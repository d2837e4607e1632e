"""Settings: what the caller asked for, checked once."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from foldspan.catalogue import SIRI, conversion_by_key
from foldspan.catalogue.card import (
    DEFAULT_REFERENCE,
    REFERENCE_METHODS,
    Array,
    Conversion,
    Equation,
    ReferenceMethod,
)
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import Sex


@dataclass(frozen=True, slots=True)
class Settings:
    """What the caller asked for; the same for all people.

    ``as_printed`` leaves every equation as its source prints it: none is levelled, none blended.
    """

    reference_method: ReferenceMethod = DEFAULT_REFERENCE
    conversion: Conversion = SIRI
    with_disputed: bool = False
    local: LocalCorrection | None = None
    as_printed: bool = False

    @property
    def levels(self) -> bool:
        """Whether what a survey saw equations read off is taken off."""
        return self.reference_method == "dxa" and not self.as_printed

    @property
    def correlation_rule(self) -> str:
        """How errors of equations go together: by what they print, or once they are levelled."""
        return "levelled" if self.levels else "as printed"

    def on_other_reference(self) -> Settings:
        """Return the same settings with fat stated on the other scale; without a site's correction.

        What a site learnt holds on the scale it was learnt on alone.
        """
        other: ReferenceMethod = "density" if self.reference_method == "dxa" else "dxa"
        return replace(self, reference_method=other, local=None)

    def cards_for(self, sex: Sex) -> tuple[Equation, ...]:
        """Return the cards that can enter the range of one sex, in catalogue order."""
        return cards_for(sex, levelled=self.levels)


def settings_for(
    reference_method: str,
    conversion: str,
    *,
    with_disputed: bool = False,
    local: LocalCorrection | None = None,
    as_printed: bool = False,
) -> Settings:
    """Return checked settings.

    Raises
    ------
    FoldspanError
        E501 for a scale or conversion that is not known, E601 for a local correction of another scale,
        or one by DXA with equations as printed: it was learnt on levelled ones.
    """
    if not reference_method:  # that of a site's own correction, which holds on its scale alone
        reference_method = DEFAULT_REFERENCE if local is None else local.reference_method
    if reference_method not in REFERENCE_METHODS:
        words = " or ".join(REFERENCE_METHODS)
        raise FoldspanError(
            [
                Problem(
                    "E501",
                    "reference_method",
                    "unknown reference method",
                    f"Use {words}.",
                    reference_method,
                )
            ]
        )
    try:
        chosen = conversion_by_key(conversion)
    except KeyError:
        first = ", ".join(card.key for card in CONVERSIONS[:4])
        remedy = f"Use one of {first}, …; foldspan equations --conversions lists all."
        raise FoldspanError(
            [Problem("E501", "conversion", "unknown conversion", remedy, conversion)]
        ) from None
    known: ReferenceMethod = "dxa" if reference_method == "dxa" else "density"
    if local is not None and local.reference_method != known:
        what = f"it is based on the reference method {local.reference_method}"
        remedy = (
            f"Use --reference-method {local.reference_method}, or leave the correction out with"
            " --local none."
        )
        raise FoldspanError([Problem("E601", "local correction", what, remedy)])
    if local is not None and as_printed and known == "dxa":
        what = "it is based on corrected equations"
        remedy = "Use only one: --local none, or no --as-printed."
        raise FoldspanError([Problem("E601", "local correction", what, remedy)])
    return Settings(known, chosen, with_disputed, local, as_printed)


def conversion_fits(
    conversion: Conversion, sex: Sex, ages: Array, ancestry: Array, athlete: Array
) -> Array:
    """Whether a conversion was made for people like these, bool of shape (N,); Siri's always is."""
    length = ages.shape[0]
    if conversion is SIRI:
        return np.ones(length, dtype=bool)
    low, high = conversion.ages
    fits = (ages >= low) & (ages < high + 1.0) & (conversion.sex in (sex, "both"))
    if conversion.ancestry:
        fits &= ancestry == conversion.ancestry
    if conversion.audience == "athlete":
        fits &= athlete > 0
    return np.asarray(fits & (conversion.audience not in ("clinical", "youth")))
