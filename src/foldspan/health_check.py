"""Health check: bands and flags of one visit, spoken; see ``bands.py`` and ``flags.py``."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foldspan.bands import Band, bands_of
from foldspan.flags import Raised, chances_of, chances_without_range, raised_flags
from foldspan.indices import Measured, indices_of
from foldspan.reconciliation import People
from foldspan.result import Health, SpokenBand, SpokenFlag
from foldspan.rulers import rulers_apart
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
    raised = raised_flags(chances_of(indices, _told(visit), is_strong=np.array([is_strong])))
    remarks = [] if background else ["no_background"]
    if visit.client.ancestry == "black" and not background:
        remarks = ["which_black"]
    if is_in_doubt:
        remarks.append("in_doubt")
    return Health(
        bands=tuple(_spoken_band(one, is_strong=is_strong, background=background) for one in bands),
        flags=tuple(map(_spoken_flag, raised)),
        apart=tuple(map(ruler_sentence, rulers_apart(bands))),
        remarks=tuple(HEALTH_REMARKS[code] for code in remarks),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
    )


def health_without_range(visit: Visit, *, with_loss: bool) -> Health:
    """Return what was told by somebody who gets no adult range: flags, and no band.

    ``with_loss`` is whether a loss of weight means what it means in others.
    """
    raised = raised_flags(chances_without_range(_told(visit), with_loss=with_loss))
    return Health(
        flags=tuple(map(_spoken_flag, raised)),
        careful=visit.intake.has_eating_concern,
        was_asked=visit.intake.is_given,
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
    )


def _spoken_flag(one: Raised) -> SpokenFlag:
    return SpokenFlag(
        code=one.rule.code,
        level=one.level,
        text=flag_sentence(one),
        for_client=client_sentence(one),
        for_clinician=clinician_sentence(one),
        chance=one.chance,
        is_borderline=one.is_borderline,
        source=one.rule.source,
        status=one.rule.status,
    )
