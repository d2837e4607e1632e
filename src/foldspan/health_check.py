"""Health check: bands and flags of one visit, spoken; see ``bands.py`` and ``flags.py``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from foldspan.agreement import Z_WIDE, interval
from foldspan.bands import Band, bands_of
from foldspan.catalogue.card import SCALES
from foldspan.flags import Raised, chances_of, chances_without_range, raised_flags
from foldspan.flags_measured import WAIST_TO_HEIGHT, height_lost, reads_high
from foldspan.indices import Indices, Measured, body_mass_index, indices_of
from foldspan.quantities import BY_NAME
from foldspan.reconciliation import People
from foldspan.result import Health, SpokenBand, SpokenFlag
from foldspan.rulers import rulers_apart
from foldspan.standards.rules import LEVELS, RULE_BY_CODE
from foldspan.told import Told, told_of
from foldspan.visit import Visit
from foldspan.wording_flags import client_sentence, clinician_sentence, flag_sentence
from foldspan.wording_health import (
    HEALTH_REMARKS,
    band_remarks,
    band_sentence,
    ruler_sentence,
    value_words,
)


def health_of(
    visit: Visit,
    people: People,
    fat: Mapping[str, Measured],
    *,
    is_strong: bool,
    is_in_doubt: bool = False,
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
    bands = bands_of(indices)
    is_strong = is_strong and bool(reads_high(indices)[0])
    raised = raised_flags(chances_of(indices, _told(visit), is_strong=np.array([is_strong])))
    remarks = [] if background else ["no_background"]
    said = f"{visit.client.ancestry} {visit.client.family_background}".lower()
    if "black" in said and not background:
        remarks = ["which_black"]
    if is_in_doubt:
        remarks.append("in_doubt")
    return Health(
        bands=tuple(_spoken_band(one, is_strong=is_strong, background=background) for one in bands),
        flags=tuple(_spoken_flag(one, _facts(visit, indices)) for one in raised),
        apart=tuple(map(ruler_sentence, rulers_apart(bands))),
        remarks=tuple(HEALTH_REMARKS[code] for code in remarks),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
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
    raised = raised_flags(chances)
    return Health(
        flags=tuple(_spoken_flag(one, _facts(visit, None)) for one in raised),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
    )


def health_of_both(visit: Visit, answers: Sequence[Health]) -> Health:
    """Return the health check where it is left open which equations fit.

    Bands are those that have no limits by sex. Flags that need a sex are raised where both answers raise
    them, and where either does if somebody is to be referred: to miss one would hurt more.
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
    is_strong = visit.client.athlete and bool(reads_high(indices)[0])
    raised = raised_flags(chances_of(indices, _told(visit), is_strong=np.array([is_strong])))
    found = {one.rule.code: _spoken_flag(one, _facts(visit, indices)) for one in raised}
    ladders = {RULE_BY_CODE[code].ladder for code in found} - {""}
    for one in (flag for health in answers for flag in health.flags):
        in_all = all(one.code in {flag.code for flag in health.flags} for health in answers)
        is_open = RULE_BY_CODE[one.code].ladder not in ladders
        if is_open and (in_all or one.level.startswith("refer")):
            found.setdefault(one.code, one)
    flags = sorted(found.values(), key=lambda one: -LEVELS.index(one.level))
    return Health(
        bands=tuple(
            _spoken_band(one, is_strong=is_strong, background=background)
            for one in bands_of(indices)
        ),
        flags=tuple(flags),
        remarks=() if background else (HEALTH_REMARKS["no_background"],),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
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
    facts = {"height": f"{now.value:.1f} cm, {most.value - now.value:.1f} cm less than before"}
    return tuple(_spoken_flag(one, facts) for one in raised)


def _bmi(visit: Visit) -> Measured:
    """Body mass index of one visit with its error, NaN where it was not measured."""
    sites = visit.accepted
    if not {"weight_kg", "height_cm"} <= set(sites):
        return Measured(np.array([np.nan]), np.array([np.nan]))
    weight, height = sites["weight_kg"], sites["height_cm"]
    return body_mass_index(
        *(np.array([x]) for x in (weight.value, weight.se, height.value, height.se))
    )


def _told(visit: Visit) -> Told:
    weight = visit.accepted.get("weight_kg")
    if weight is None:
        return told_of(visit.intake, None, None)
    return told_of(visit.intake, weight.value, weight.se)


def _spoken_band(one: Band, *, is_strong: bool, background: str) -> SpokenBand:
    standard = one.standard
    return SpokenBand(
        standard=one.key,
        name=standard.system,
        measure=standard.measure,
        scale=standard.scale,
        value=one.value,
        se=one.se,
        probabilities=one.probabilities,
        is_coin_toss=one.is_coin_toss,
        shown=value_words(one),
        text=band_sentence(one),
        remarks=tuple(band_remarks(one, is_strong=is_strong, background=background)),
        source=standard.source,
        status=standard.status,
        limits=tuple(
            (min(column), max(column))
            for column in zip(*(row.limits for row in one.rows), strict=True)
        ),
    )


def _facts(visit: Visit, indices: Indices | None) -> dict[str, str]:
    """What was measured or told, for the clinician, by the ladder of the flags that rest on it."""
    facts = {}
    if indices is not None:
        bmi, ratio = indices.bmi.value[0], indices.of(WAIST_TO_HEIGHT).value[0]
        parts = [f"body mass index {bmi:.1f}"] if np.isfinite(bmi) else []
        facts["low_weight"] = ", ".join(parts)
        parts += [f"waist to height {ratio:.2f}"] if np.isfinite(ratio) else []
        facts["high_weight"] = facts["muscle"] = ", ".join(parts)
        fat = indices.fat["density"]
        low, high = interval(fat.value, fat.se, Z_WIDE)
        if np.isfinite(low[0]):
            facts["low_fat"] = f"95 % range {low[0]:.1f} to {high[0]:.1f} %, density scale"
        lean = indices.mass_index("lean_mass_index", fat)
        if np.isfinite(lean.value[0]):
            facts["lean"] = f"lean mass index {lean.value[0]:.1f} ± {lean.se[0]:.1f}"
    told, intake = _told(visit), visit.intake
    loss = told.number("loss_percent")[0]
    if np.isfinite(loss) and intake.months_ago is not None:
        said = {None: "whether wanted not noted", True: "called wanted", False: "not wanted"}
        facts["loss"] = (
            f"{loss:.1f} % in {intake.months_ago:.1f} months, {said[intake.loss_wanted]}"
        )
    if intake.pressure_mmhg is not None:
        facts["pressure"] = "{:.0f}/{:.0f} mmHg".format(*intake.pressure_mmhg)
    return facts


def _spoken_flag(one: Raised, facts: Mapping[str, str]) -> SpokenFlag:
    return SpokenFlag(
        code=one.rule.code,
        level=one.level,
        text=flag_sentence(one),
        for_client=client_sentence(one),
        for_clinician=clinician_sentence(one, facts.get(one.rule.ladder, "")),
        chance=one.chance,
        is_borderline=one.is_borderline,
        source=one.rule.source,
        status=one.rule.status,
    )
