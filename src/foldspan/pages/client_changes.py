"""What changed of a client's folds and tape measures, in the client's words."""

from __future__ import annotations

from foldspan.language import Said
from foldspan.pages.material import Material
from foldspan.raw_changes import RawChange, raw_changes, worth_telling


def measured_change(material: Material, *, only_main: bool = False) -> str:
    """Return what changed since the first visit, "" where nothing was measured twice.

    The sum of folds and the waist always, other girths where more than chance made them change and
    ``only_main`` is not set.
    """
    whole, language = material.whole, material.language
    if whole is None:
        return ""
    told = worth_telling(raw_changes(whole.change, material.units))
    kept = [one for one in told if not only_main or one.is_main]
    if not kept:
        return ""
    day = material.earlier[0][0].day
    since = (
        language.say("page.since_first")
        if day is None
        else language.say("page.since_day", day=language.day(day, material.units.system))
    )
    real, unsure = (
        tuple(_said(material, one) for one in kept if one.difference.is_real == wanted)
        for wanted in (True, False)
    )
    said = [Said("page.measured_real", {"since": since, "what": real})] if real else []
    if unsure:
        key = "page.measured_unsure_too" if real else "page.measured_unsure"
        said.append(Said(key, {"what": unsure} if real else {"since": since, "what": unsure}))
    return language.text(said)


def _said(material: Material, one: RawChange) -> Said:
    language = material.language
    earlier, later = (
        language.number(value, 1) for value in (one.difference.earlier, one.difference.later)
    )
    values = {"earlier": earlier, "later": f"{later} {one.unit}"}
    if not one.name:
        return Said("page.folds_changed", {"count": one.folds, **values})
    return Said("page.site_changed", {"site": Said(f"changed.{one.name}"), **values})
