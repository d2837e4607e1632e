"""What changed of a client's fat, weight, folds and tape measures, in the client's words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from foldspan.followup.difference import Difference
from foldspan.pages.dot_plot import DOTS
from foldspan.pages.inputs import Material
from foldspan.results.changes_for_client import PROBABLY, ChangeForClient
from foldspan.text.catalogue import Language, Sentence
from foldspan.text.change import printed_amount
from foldspan.text.message import Amount
from foldspan.text.raw_changes import RawChange, changes_shown, raw_changes

NOT_SAID: Mapping[str, Any] = {}


def measured_change(material: Material, *, only_main: bool = False) -> str:
    """Return what changed since the first visit, "" where nothing was measured twice.

    The sum of folds and the waist always, other girths where more than chance made them change and
    ``only_main`` is not set.
    """
    whole, language = material.whole, material.language
    if whole is None:
        return ""
    shown = changes_shown(raw_changes(whole.change, material.units))
    kept = [change for change in shown if not only_main or change.is_main]
    if not kept:
        return ""
    since = _since_visit(material, "first")
    real, unsure = (
        tuple(
            _measured_sentence(material, change)
            for change in kept
            if change.difference.is_real == wanted
        )
        for wanted in (True, False)
    )
    sentences = [Sentence("page.measured_real", {**since, "what": real})] if real else []
    if unsure:
        key = "page.measured_unsure_too" if real else "page.measured_unsure"
        sentences.append(Sentence(key, {"what": unsure} if real else {**since, "what": unsure}))
    return language.text(sentences)


def _measured_sentence(material: Material, change: RawChange) -> Sentence:
    language = material.language
    earlier, later = (
        language.number(value, 1) for value in (change.difference.earlier, change.difference.later)
    )
    values = {"earlier": earlier, "later": f"{later} {change.unit}"}
    if not change.name:
        return Sentence("page.folds_changed", {"count": change.folds, **values})
    return Sentence("page.site_changed", {"site": Sentence(f"changed.{change.name}"), **values})


def client_change(material: Material, change: ChangeForClient) -> str:
    """One change in words: the share of fat, its mass where that is real, the weight."""
    language, since = material.language, _since(material, change)
    share = _fat_change_sentence(language, change.percent, since)
    lines = [share]
    if change.fat_mass is not None:
        if share.key == "page.real":
            lines.append(_fat_mass_sentence(material, change.fat_mass, "page.fat_mass"))
        else:
            # the mass is surer than the share, since weight went the same way
            only = _fat_mass_sentence(material, change.fat_mass, "page.fat_only", since)
            lines = [only, Sentence(share.key.replace("page.", "page.share_"), share.values)]
    if change.weight is not None:
        lines.append(_weight_sentence(material, change.weight))
    return language.text(lines)


def weight_change(material: Material) -> str:
    """Return how weight changed since the first visit, "" where it was not measured twice."""
    weight = None if material.whole is None else material.whole.change.weight
    return "" if weight is None else material.language.say(_weight_sentence(material, weight))


def _weight_sentence(material: Material, weight: Difference) -> Sentence:
    ends = {"earlier": material.mass(weight.earlier), "later": material.mass(weight.later)}
    return Sentence("page.weight_real" if weight.is_real else "page.weight_changed", ends)


def _since(material: Material, change: ChangeForClient) -> dict[str, Any]:
    """Since when a change is told, as the values of its sentence."""
    whole = material.whole
    days = () if whole is None else whole.days
    if change.since == "all" and whole is not None and whole.trend is not None:
        first = min(day for day in days if day is not None)
        day = material.language.day(first, material.units.system)
        return {"since": "over", "visits": whole.trend.visits, "day": day}
    return _since_visit(material, "first" if change.since == "first" else "last")


def _since_visit(material: Material, visit: Literal["first", "last"]) -> dict[str, Any]:
    """Since the first or the last visit, by its day where that is known."""
    day = material.earlier[0 if visit == "first" else -1][0].day
    if day is None:
        return {"since": visit}
    return {"since": "day", "day": material.language.day(day, material.units.system)}


def _fat_mass_sentence(
    material: Material, difference: Difference, key: str, since: Mapping[str, Any] = NOT_SAID
) -> Sentence:
    """Fat mass that changed by more than chance makes; what is printed subtracts."""
    per, language = material.units.per_mass, material.language
    amount = abs(
        printed_amount(
            Difference(difference.earlier / per, difference.later / per, difference.se / per)
        )
    )
    low, high = sorted(abs(end) / per for end in difference.range_80)
    values = {
        "amount": f"{language.number(amount, 1)} {material.units.mass}",
        "low": language.number(low, 1),
        "high": f"{language.number(high, 1)} {material.units.mass}",
    }
    way = "down" if difference.amount < 0.0 else "up"
    return Sentence(key, {**since, **values, "way": way})


def _fat_change_sentence(
    language: Language, percent: Difference | None, since: Mapping[str, Any]
) -> Sentence:
    if percent is None:
        return Sentence("page.not_compared", since)
    down = percent.chance_of_fall
    way, chance = ("down", down) if down >= 0.5 else ("up", 1.0 - down)
    if percent.is_real:
        low, high = sorted(abs(end) for end in percent.range_80)
        values = {
            "points": Amount(abs(printed_amount(percent)), 1),
            "low": language.number(low, 1),
            "high": language.number(high, 1),
        }
        return Sentence("page.real", {**since, **values, "way": way})
    if chance >= PROBABLY:
        of_20 = min(round(DOTS * chance), DOTS - 1)  # never sure: it is not a clear change
        return Sentence("page.maybe", {**since, "way": way, "chance": of_20})
    return Sentence("page.no_telling", since)
