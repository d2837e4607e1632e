"""Health: bands and flags of one visit as codes and numbers; the chances are in ``interpretation``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue.card import REFERENCE_METHODS
from foldspan.explanation.case import CaseAnalysis
from foldspan.external.combine import Joined
from foldspan.intake.as_arrays import SelfReported, intake_as_arrays
from foldspan.interpretation.bands_to_tell import BandsToTell
from foldspan.interpretation.classification import Band
from foldspan.interpretation.fat_by_reference_method import fat_by_reference
from foldspan.interpretation.health_check import HealthCheck, health_check
from foldspan.interpretation.indices import Indices, body_mass_index, indices_of
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import (
    Raised,
    chances_without_range,
    raised_flags,
)
from foldspan.interpretation.referral_measured import height_lost
from foldspan.results.flag_grounds import grounds_of
from foldspan.results.intake_answers import answers_of, in_state
from foldspan.results.result import Health
from foldspan.results.spoken import BandNote, Ground, SpokenBand, SpokenContradiction, SpokenFlag
from foldspan.visit.model import Visit


def health_of(visit: Visit, analysis: CaseAnalysis, joined: Joined | None) -> Health:
    """Return the health check of an adult whose range is ``joined``, None where there is none."""
    people, reported = analysis.case.people, self_reported(visit)
    is_strong = visit.client.athlete or analysis.is_muscular
    fat: Mapping[str, Measured] = dict.fromkeys(REFERENCE_METHODS, _unknown())
    if joined is not None:
        fat = fat_by_reference(analysis.case, joined)
    background = np.array([visit.client.background])
    indices = indices_of(people.sex, people.columns, people.reading_se, background, fat)
    check = health_check(indices, reported, is_strong=is_strong)
    flags = spoken_flags(check.raised, visit, indices)
    return health_from(visit, flags, check, is_in_doubt=bool(analysis.doubted))


def health_without_range(visit: Visit) -> Health:
    """Return what was told by somebody who gets no adult range: flags, and no band."""
    client, reported, bmi = visit.client, self_reported(visit), _bmi(visit)
    chances = chances_without_range(
        reported,
        client.known_sex or "",
        np.array([client.age_years]),
        np.array([client.background]),
        bmi,
        is_expecting=client.pregnant or visit.intake.is_after_birth,
    )
    return health_from(visit, spoken_flags(raised_flags(chances), visit, None), None)


def flags_of_height(earlier: Sequence[Visit], later: Visit) -> tuple[SpokenFlag, ...]:
    """Return the flag of height lost since the visit at which the client was tallest, or none."""
    heights = [visit.accepted["height_cm"] for visit in earlier if "height_cm" in visit.accepted]
    now = later.accepted.get("height_cm")
    if not heights or now is None:
        return ()
    most = max(heights, key=lambda height: height.value)
    before, after = (Measured(np.array([h.value]), np.array([h.se])) for h in (most, now))
    raised = raised_flags(height_lost(np.array([later.client.age_years]), before, after))
    ground = Ground("height", {"now": now.value, "less": most.value - now.value})
    return tuple(SpokenFlag(flag.rule.code, flag.chance, (ground,)) for flag in raised)


def self_reported(visit: Visit) -> SelfReported:
    """Return what the client told, as arrays of length one."""
    weight = visit.accepted.get("weight_kg")
    if weight is None:
        return intake_as_arrays(visit.intake, None, None)
    return intake_as_arrays(visit.intake, weight.value, weight.se)


def spoken_flags(
    raised: Sequence[Raised], visit: Visit, indices: Indices | None
) -> tuple[SpokenFlag, ...]:
    """Return flags with what stands behind each; ``indices`` is None where there is no adult range."""
    return tuple(
        SpokenFlag(flag.rule.code, flag.chance, grounds_of(flag, visit, indices)) for flag in raised
    )


def health_from(
    visit: Visit,
    flags: tuple[SpokenFlag, ...],
    check: HealthCheck | None,
    *,
    is_in_doubt: bool = False,
) -> Health:
    """Return the health check from the flags that are raised and the bands to tell beside them.

    Whoever gets no adult range has no bands: ``check`` is None.
    """
    answers = answers_of(visit)
    shown = BandsToTell() if check is None else check.shown
    is_strong = check is not None and check.is_strong
    spoken = {band.key: _spoken_band(band, visit, is_strong=is_strong) for band in shown.bands}
    return Health(
        bands=tuple(spoken.values()),
        flags=flags,
        contradictions=tuple(
            SpokenContradiction(
                found.way,
                tuple(spoken[band.key] for band in found.saying),
                tuple(spoken[band.key] for band in found.denying),
                found.reasons,
            )
            for found in shown.contradictions
        ),
        remark_codes=() if check is None else _remarks(visit, shown, is_in_doubt=is_in_doubt),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
        answered_none=in_state(answers, "none"),
        not_asked=in_state(answers, "not_asked"),
    )


def _remarks(visit: Visit, shown: BandsToTell, *, is_in_doubt: bool) -> tuple[str, ...]:
    """What to know of the standards as a whole."""
    client, codes = visit.client, []
    if not client.background:
        said = f"{client.ancestry} {client.family_background}".lower()
        codes.append("which_black" if "black" in said else "no_background")
    if shown.has_fewer:
        codes.append("low_weight")
    if is_in_doubt:
        codes.append("in_doubt")
    return tuple(codes)


def _bmi(visit: Visit) -> Measured:
    """Body mass index of one visit with its error, NaN where it was not measured."""
    sites = visit.accepted
    if not {"weight_kg", "height_cm"} <= set(sites):
        return _unknown()
    weight, height = sites["weight_kg"], sites["height_cm"]
    return body_mass_index(
        *(np.array([x]) for x in (weight.value, weight.se, height.value, height.se))
    )


def _unknown() -> Measured:
    return Measured(np.array([np.nan]), np.array([np.nan]))


def _spoken_band(band: Band, visit: Visit, *, is_strong: bool) -> SpokenBand:
    standard = band.standard
    notes = []
    if is_strong and standard.measure == "bmi":
        notes.append(BandNote("strong_build"))
    if band.stood_in:
        notes.append(BandNote("stood_in", quantity=band.stood_in))
    if len(band.rows) > 1:
        code = "other_columns" if visit.client.background else "columns"
        notes.append(BandNote(code, count=len(band.rows)))
    return SpokenBand(
        standard=band.key,
        name=standard.system,
        measure=standard.measure,
        reference_method=standard.reference_method,
        value=band.value,
        se=band.se,
        probabilities=band.probabilities,
        notes=tuple(notes),
        source=standard.source,
        status=standard.status,
        limits=tuple(
            (min(column), max(column))
            for column in zip(*(row.limits for row in band.rows), strict=True)
        ),
    )
