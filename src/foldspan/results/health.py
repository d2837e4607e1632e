"""Health: bands and flags of one visit, spoken; the numbers are in ``interpretation``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.catalogue.card import SCALES
from foldspan.estimation.batch import People
from foldspan.intake.as_arrays import SelfReported, intake_as_arrays
from foldspan.interpretation.classification import Band, bands_of, without_too_much
from foldspan.interpretation.contradictions import rulers_apart
from foldspan.interpretation.indices import Indices, Measured, body_mass_index, indices_of
from foldspan.interpretation.referral import (
    LOW_WEIGHT,
    Raised,
    chances_of,
    chances_without_range,
    raised_flags,
)
from foldspan.interpretation.referral_measured import height_lost, reads_high
from foldspan.quantities import BY_NAME
from foldspan.results.flag_grounds import grounds_of
from foldspan.results.intake_answers import answers_of, named
from foldspan.results.result import Health, SpokenBand, SpokenFlag
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE
from foldspan.text.en.flags import client_sentence, clinician_sentence, flag_sentence
from foldspan.text.en.health import (
    HEALTH_REMARKS,
    band_remarks,
    band_sentence,
    ruler_sentence,
    value_words,
)
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
    background = visit.client.background
    indices = indices_of(people.sex, people.columns, people.reading_se, np.array([background]), fat)
    everything = bands_of(indices)
    is_strong = is_strong and bool(reads_high(indices)[0])
    raised = raised_flags(chances_of(indices, _told(visit), is_strong=np.array([is_strong])))
    bands = _to_tell(everything, [flag.rule.code for flag in raised])
    remarks = _remarks(visit, has_fewer=len(bands) < len(everything), is_in_doubt=is_in_doubt)
    answers = answers_of(visit)
    return Health(
        bands=_spoken_bands(bands, is_strong=is_strong, background=background),
        flags=_spoken_flags(raised, visit, indices),
        apart=tuple(map(ruler_sentence, rulers_apart(bands))),
        remarks=remarks,
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
        answered_none=named(answers, "none"),
        not_asked=named(answers, "not_asked"),
    )


def health_without_range(visit: Visit) -> Health:
    """Return what was told by somebody who gets no adult range: flags, and no band."""
    client = visit.client
    chances = chances_without_range(
        _told(visit),
        client.known_sex or "",
        np.array([client.age_years]),
        np.array([client.background]),
        _bmi(visit),
        is_expecting=client.pregnant or visit.intake.is_after_birth,
    )
    raised, answers = raised_flags(chances), answers_of(visit)
    return Health(
        flags=_spoken_flags(raised, visit, None),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
        answered_none=named(answers, "none"),
        not_asked=named(answers, "not_asked"),
    )


def health_of_both(visit: Visit, answers: Sequence[Health]) -> Health:
    """Return the health check where it is left open which equations fit.

    Bands are those that have no limits by sex. Flags that need a sex are raised where both answers raise
    them, and where either does if somebody is to be referred: to miss one would hurt more. A build is
    strong where both answers find it so.
    """
    visit_columns = dict.fromkeys(BY_NAME, np.array([np.nan]))
    sites = visit.accepted
    columns = visit_columns | {name: np.array([site.value]) for name, site in sites.items()}
    columns["age_years"] = np.array([visit.client.age_years])
    background = visit.client.background
    unknown = Measured(np.array([np.nan]), np.array([np.nan]))
    indices = indices_of(
        "",
        columns,
        {name: np.array([site.se]) for name, site in sites.items()},
        np.array([background]),
        dict.fromkeys(SCALES, unknown),
    )
    is_strong = all("strong_build" in {flag.code for flag in health.flags} for health in answers)
    raised = raised_flags(chances_of(indices, _told(visit), is_strong=np.array([is_strong])))
    found = {flag.code: flag for flag in _spoken_flags(raised, visit, indices)}
    for one in (flag for health in answers for flag in health.flags):
        alike = [flag for health in answers for flag in health.flags if flag.code == one.code]
        in_all = len(alike) == len(answers)
        if one.code in found:
            # what both answers say alike holds whichever fits: a grip that is weak by either limit
            if in_all and all(flag == one for flag in alike):
                found[one.code] = one
            continue
        ladder = RULE_BY_CODE[one.code].ladder
        beside = [code for code in found if ladder and RULE_BY_CODE[code].ladder == ladder]
        is_higher = all(
            LEVELS.index(one.level) > LEVELS.index(found[code].level) for code in beside
        )
        if is_higher and (in_all or one.level.startswith("refer")):
            for code in beside:  # of a ladder only the highest
                del found[code]
            found[one.code] = one
    order = list(RULE_BY_CODE)
    flags = sorted(
        found.values(), key=lambda one: (-LEVELS.index(one.level), order.index(one.code))
    )
    everything, asked = bands_of(indices), answers_of(visit)
    bands = _to_tell(everything, list(found))
    return Health(
        bands=_spoken_bands(bands, is_strong=is_strong, background=background),
        flags=tuple(flags),
        apart=tuple(map(ruler_sentence, rulers_apart(bands))),
        remarks=_remarks(visit, has_fewer=len(bands) < len(everything)),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
        answered_none=named(asked, "none"),
        not_asked=named(asked, "not_asked"),
    )


def flags_of_height(earlier: Sequence[Visit], later: Visit) -> tuple[SpokenFlag, ...]:
    """Return the flag of height lost since the visit at which the client was tallest, or none."""
    tall = [one.accepted["height_cm"] for one in earlier if "height_cm" in one.accepted]
    now = later.accepted.get("height_cm")
    if not tall or now is None:
        return ()
    most = max(tall, key=lambda one: one.value)
    before, after = (Measured(np.array([one.value]), np.array([one.se])) for one in (most, now))
    raised = raised_flags(height_lost(np.array([later.client.age_years]), before, after))
    grounds = f"{now.value:.1f} cm, {most.value - now.value:.1f} cm less than before"
    return tuple(_spoken_flag(one, grounds) for one in raised)


def _remarks(visit: Visit, *, has_fewer: bool, is_in_doubt: bool = False) -> tuple[str, ...]:
    """What to know of the standards as a whole; ``has_fewer`` says that a low weight takes some away."""
    client, codes = visit.client, []
    if not client.background:
        said = f"{client.ancestry} {client.family_background}".lower()
        codes.append("which_black" if "black" in said else "no_background")
    if has_fewer:
        codes.append("low_weight")
    if is_in_doubt:
        codes.append("in_doubt")
    return tuple(HEALTH_REMARKS[code] for code in codes)


def _to_tell(bands: tuple[Band, ...], codes: Sequence[str]) -> tuple[Band, ...]:
    """The bands to tell: beside a low weight none of too much, and none that reassures."""
    if any(RULE_BY_CODE[code].ladder == LOW_WEIGHT for code in codes):
        return without_too_much(bands)
    return bands


def _bmi(visit: Visit) -> Measured:
    """Body mass index of one visit with its error, NaN where it was not measured."""
    sites = visit.accepted
    if not {"weight_kg", "height_cm"} <= set(sites):
        return Measured(np.array([np.nan]), np.array([np.nan]))
    weight, height = sites["weight_kg"], sites["height_cm"]
    return body_mass_index(
        *(np.array([x]) for x in (weight.value, weight.se, height.value, height.se))
    )


def _told(visit: Visit) -> SelfReported:
    weight = visit.accepted.get("weight_kg")
    if weight is None:
        return intake_as_arrays(visit.intake, None, None)
    return intake_as_arrays(visit.intake, weight.value, weight.se)


def _spoken_bands(
    bands: Sequence[Band], *, is_strong: bool, background: str
) -> tuple[SpokenBand, ...]:
    return tuple(_spoken_band(band, is_strong=is_strong, background=background) for band in bands)


def _spoken_band(band: Band, *, is_strong: bool, background: str) -> SpokenBand:
    standard = band.standard
    return SpokenBand(
        standard=band.key,
        name=standard.system,
        measure=standard.measure,
        scale=standard.scale,
        value=band.value,
        se=band.se,
        probabilities=band.probabilities,
        is_coin_toss=band.is_coin_toss,
        shown=value_words(band),
        text=band_sentence(band),
        remarks=tuple(band_remarks(band, is_strong=is_strong, background=background)),
        source=standard.source,
        status=standard.status,
        limits=tuple(
            (min(column), max(column))
            for column in zip(*(row.limits for row in band.rows), strict=True)
        ),
    )


def _spoken_flags(
    raised: Sequence[Raised], visit: Visit, indices: Indices | None
) -> tuple[SpokenFlag, ...]:
    return tuple(_spoken_flag(flag, grounds_of(flag, visit, indices)) for flag in raised)


def _spoken_flag(flag: Raised, grounds: str) -> SpokenFlag:
    return SpokenFlag(
        code=flag.rule.code,
        level=flag.level,
        text=flag_sentence(flag),
        for_client=client_sentence(flag),
        for_clinician=clinician_sentence(flag, grounds),
        chance=flag.chance,
        is_borderline=flag.is_borderline,
        source=flag.rule.source,
        status=flag.rule.status,
    )
