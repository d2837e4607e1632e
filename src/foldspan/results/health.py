"""Health: bands and flags of one visit as codes and numbers; the chances are in ``interpretation``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.estimation.batch import People
from foldspan.intake.as_arrays import SelfReported, intake_as_arrays
from foldspan.interpretation.bands_to_tell import BandsToTell, bands_to_tell
from foldspan.interpretation.classification import Band
from foldspan.interpretation.indices import Indices, Measured, body_mass_index, indices_of
from foldspan.interpretation.referral import (
    Raised,
    chances_of,
    chances_without_range,
    raised_flags,
)
from foldspan.interpretation.referral_measured import height_lost, reads_high
from foldspan.results.flag_grounds import grounds_of
from foldspan.results.intake_answers import answers_of, in_state
from foldspan.results.result import Health
from foldspan.results.spoken import BandNote, Ground, SpokenBand, SpokenContradiction, SpokenFlag
from foldspan.visit.model import Visit


def health_of(
    visit: Visit,
    people: People,
    fat: Mapping[str, Measured],
    *,
    is_strong: bool,
    is_in_doubt: bool,
) -> Health:
    """Return the health check of an adult.

    Parameters
    ----------
    visit : Visit
        Whose intake is read.
    people : People
        The visit as columns of length one.
    fat : mapping
        Scale → fat [% of weight] with its standard error; NaN where no equation could be used.
    is_strong : bool
        An athlete, or limbs that show more muscle than usual.
    is_in_doubt : bool
        Whether a reading of the visit looks like a slip.
    """
    background = np.array([visit.client.background])
    indices = indices_of(people.sex, people.columns, people.reading_se, background, fat)
    is_strong = is_strong and bool(reads_high(indices)[0])
    flags = adult_flags(visit, indices, is_strong=is_strong)
    return health_from(visit, flags, indices, is_strong=is_strong, is_in_doubt=is_in_doubt)


def health_without_range(visit: Visit) -> Health:
    """Return what was told by somebody who gets no adult range: flags, and no band."""
    client = visit.client
    chances = chances_without_range(
        self_reported(visit),
        client.known_sex or "",
        np.array([client.age_years]),
        np.array([client.background]),
        _bmi(visit),
        is_expecting=client.pregnant or visit.intake.is_after_birth,
    )
    return health_from(visit, _spoken_flags(raised_flags(chances), visit, None), None)


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


def adult_flags(visit: Visit, indices: Indices, *, is_strong: bool) -> tuple[SpokenFlag, ...]:
    """Return the flags of an adult with what stands behind each."""
    chances = chances_of(indices, self_reported(visit), is_strong=np.array([is_strong]))
    return _spoken_flags(raised_flags(chances), visit, indices)


def _spoken_flags(
    raised: Sequence[Raised], visit: Visit, indices: Indices | None
) -> tuple[SpokenFlag, ...]:
    """Flags with what stands behind each; ``indices`` is None where there is no adult range."""
    return tuple(
        SpokenFlag(flag.rule.code, flag.chance, grounds_of(flag, visit, indices)) for flag in raised
    )


def health_from(
    visit: Visit,
    flags: tuple[SpokenFlag, ...],
    indices: Indices | None,
    *,
    is_strong: bool = False,
    is_in_doubt: bool = False,
) -> Health:
    """Return the health check from the flags that are raised and the bands to tell beside them.

    Whoever gets no adult range has no bands: ``indices`` is None.
    """
    answers = answers_of(visit)
    told = BandsToTell() if indices is None else bands_to_tell(indices, [f.code for f in flags])
    spoken = {band.key: _spoken_band(band, visit, is_strong=is_strong) for band in told.bands}
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
            for found in told.apart
        ),
        remark_codes=() if indices is None else _remarks(visit, told, is_in_doubt=is_in_doubt),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
        answered_none=in_state(answers, "none"),
        not_asked=in_state(answers, "not_asked"),
    )


def _remarks(visit: Visit, told: BandsToTell, *, is_in_doubt: bool) -> tuple[str, ...]:
    """What to know of the standards as a whole."""
    client, codes = visit.client, []
    if not client.background:
        said = f"{client.ancestry} {client.family_background}".lower()
        codes.append("which_black" if "black" in said else "no_background")
    if told.has_fewer:
        codes.append("low_weight")
    if is_in_doubt:
        codes.append("in_doubt")
    return tuple(codes)


def _bmi(visit: Visit) -> Measured:
    """Body mass index of one visit with its error, NaN where it was not measured."""
    sites = visit.accepted
    if not {"weight_kg", "height_cm"} <= set(sites):
        return Measured(np.array([np.nan]), np.array([np.nan]))
    weight, height = sites["weight_kg"], sites["height_cm"]
    return body_mass_index(
        *(np.array([x]) for x in (weight.value, weight.se, height.value, height.se))
    )


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
        scale=standard.scale,
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
