"""Wording of explanations: why methods differ, for the trainer, the client and the clinician."""

from __future__ import annotations

from collections.abc import Mapping

from foldspan.display_units import METRIC, ShownUnits, signed
from foldspan.explanation.decomposition import Pair, Reason
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.explanation.sensitivity import WouldAgree
from foldspan.external.combine import Placed
from foldspan.external.consistency import SheetCheck
from foldspan.measurement.outlier_search import Suspect
from foldspan.measurement.plausibility import UNIT_PLURAL
from foldspan.quantities import BY_NAME, convert
from foldspan.results.explanation import odds
from foldspan.text.en.findings import SLIP_KINDS
from foldspan.text.en.reconcile import FAMILY_NAMES, REFERENCE_NAMES, capital
from foldspan.text.en.spoken import ENGLISH_SPOKEN

# what lifts one method above the other, for the trainer; never longer than two lines
REASON_WORDS = {
    "slip": "a likely mistake: {sites}",
    "reference_method": (
        "reference method: DXA gives about 3 percentage points more than underwater weighing"
    ),
    "site_correction": (
        "your local correction: at your site one of them is too high, or the other too low"
    ),
    "age_term": ("age: these equations treat age differently ({age:.0f} years compared with 40)"),
    "usual_gap": "these equations normally differ this much in people of this size",
    "more_muscle": (
        "muscle: limb muscle greater than weight and height predict ({spreads} standard"
        " deviations; {sites})"
    ),
    "less_muscle": (
        "muscle: limb muscle less than weight and height predict ({spreads} standard"
        " deviations; {sites})"
    ),
    "belly_fat": (
        "waist large for these skinfolds ({spreads} standard deviations above average);"
        " skinfolds do not measure fat inside the abdomen"
    ),
    "fat_under_skin": (
        "waist small for these skinfolds ({spreads} standard deviations below average); more"
        " fat lies under the skin"
    ),
    "trunk_fat": (
        "trunk skinfolds thick compared with limb skinfolds ({spreads} standard deviations)"
    ),
    "limb_fat": (
        "limb skinfolds thick compared with trunk skinfolds ({spreads} standard deviations)"
    ),
    "conversion": "density-to-fat conversion made for other people; {key} suits this client",
    "outside_limits": "outside the equations' samples: {limits} (± {deviation})",
    "site_variant": "{sites} taken at a different version of its site (± {deviation})",
    "waist_stood_in": "not measured, so estimated from another level: {sites} (± {deviation})",
    "unsure_readings": (
        "readings that differ, or at the end of the calliper's scale: {sites} (± {deviation})"
    ),
}
LIMIT_NAMES = {"age_years": "age", "sum": "sum of skinfolds", "bmi": "BMI"}
LIMIT_UNITS = {"sum": "mm", "bmi": "kg/m²"}
BARE_PLACES = (
    "chest", "side_of_chest", "upper_arm", "upper_back", "belly", "waistband", "thigh", "lower_leg",
)  # fmt: skip
BARED_WORDS = {
    "nothing": "no clothing moved",
    "light_clothes": "light clothing",
    "shoes_off": "shoes off",
    **{code: ENGLISH_SPOKEN[f"bare.{code}"] for code in BARE_PLACES},
    "underwear": "underwear",
}
# what two methods are known to read off is told from this on; less of one does not show [points]
LEAST_REMARKED, LEAST_SHOWN = 1.0, 0.05
OUTSIDE_NAMES = {
    "dxa": "DXA",
    "underwater_weighing": "underwater weighing",
    "air_displacement": "air displacement",
    "bioimpedance": "bioimpedance",
    "other_callipers": "other callipers",
    "unknown": "a method that was not named",
}
REMARK_SENTENCES = {
    "does_not_add_up": "Its own numbers contradict each other.",
    "too_little": "It gives neither body-fat percentage nor the masses to calculate it.",
    "not_sound": "A body-fat percentage outside 2% to 70% cannot be right: copy it again.",
    "other_weight": (
        "The client weighed something different then, so the difference may be real. It is"
        " left out of the range."
    ),
    "old": (
        "It was taken more than 28 days before or after this visit, so the difference may be"
        " real. It is left out of the range."
    ),
    "no_date": "It has no date to compare with the visit; we assume it is from the same day.",
    "no_weight": "It gives no weight; the weight of the visit is used.",
    "scale_not_known": "Its reference method is not stated, so we allow a larger error.",
    "method_not_known": (
        "Without a method there is no published error, so it is left out of the range."
    ),
}
OTHER_UNIT_EXAMPLE = {"lb": '"105 lb"', "st": '"7.5 st"'}
SHEET_NAMES = {
    "fat_percent": "body-fat percentage",
    "fat_mass": "fat mass",
    "fat_free_mass": "fat-free (lean) mass",
    "weight": "weight",
}


def label(name: str) -> str:
    """Return a quantity or family in words."""
    return BY_NAME[name].label if name in BY_NAME else FAMILY_NAMES.get(name, name)


def amount(name: str, value: float, unit: str = "") -> str:
    """Return a value with its unit, as the trainer typed it."""
    canonical = BY_NAME[name].unit
    shown = convert(value, canonical, unit) if unit else value
    return f"{shown:.1f} {unit or canonical}"


def reason_words(reason: Reason, units: ShownUnits = METRIC) -> str:
    """Return what lies behind one line of a pair."""
    sites = [BY_NAME[name].label for name in reason.about if name in BY_NAME]
    if reason.code == "waist_stood_in":
        sites = [
            f"{BY_NAME[n].label} ({signed(units.shown(n, reason.detail[n]), 1)} {units.length})"
            for n in reason.about
        ]
    far = [
        f"{LIMIT_NAMES.get(name, label(name))} by up to {_limit(name, reason.detail[name], units)}"
        for name in reason.about
        if name in reason.detail
    ]
    return REASON_WORDS[reason.code].format(
        sites="; ".join(sites) or "one reading",
        limits=", ".join(far) or "body size",
        age=reason.detail.get("age", 0.0),
        spreads=f"{abs(reason.detail.get('spreads', 0.0)):.1f}",
        deviation=f"{reason.detail.get('deviation', 0.0):.1f}",
        key=reason.about[0] if reason.about else "",
    )


def _limit(name: str, beyond: float, units: ShownUnits) -> str:
    """Return how far beyond a limit somebody is, with its unit."""
    if name in LIMIT_UNITS:
        return f"{beyond:.0f} {LIMIT_UNITS[name]}"
    return f"{units.shown(name, beyond):.0f} {units.unit_of(name)}"


def slip_sentence(slip: Suspect, typed: Mapping[str, float], units: Mapping[str, str]) -> str:
    """Return which reading to take again and what it may have been."""
    kind = SLIP_KINDS[slip.kind].lower()

    def was(name: str) -> str:
        return amount(name, typed[name], units.get(name, ""))

    if slip.kind == "exchanged" and slip.reading:
        ends = [
            amount(n, v, units.get(n, "")) for n, v in zip(slip.names, slip.values, strict=True)
        ]
        both = " and ".join(map(label, slip.names))
        return (
            f"{both}, reading {slip.reading}: these look swapped. The other way round, the"
            f" sites would give {ends[0]} and {ends[1]} instead of {was(slip.names[0])} and"
            f" {was(slip.names[1])}, and the visit would be {_times(slip)} more consistent."
        )
    if slip.kind == "exchanged":
        both = " and ".join(f"{label(name)} ({was(name)})" for name in slip.names)
        return f"{both}: {kind}, the visit would be {_times(slip)} more consistent."
    name = slip.names[0]
    would_be = amount(name, slip.values[0], units.get(name, ""))
    if slip.reading:
        return (
            f"{label(name)}, reading {slip.reading}: {kind}, the site would give {would_be}"
            f" instead of {was(name)}, and the visit would be {_times(slip)} more consistent."
        )
    return (
        f"{label(name)} ({was(name)}; {kind}: {would_be}): the visit would be {_times(slip)}"
        " more consistent."
    )


def _times(slip: Suspect) -> str:
    much = odds(slip)
    return "more than 1000 times" if much >= 1000.0 else f"about {much:.0f} times"


def would_agree_sentence(what_if: WouldAgree, unit: str) -> str:
    """Return what a reading would have to be, and how unlikely that is."""
    if what_if.needed is None:
        return f"{label(what_if.quantity)}: no plausible value would close the gap."
    away = abs(what_if.standard_errors_away or 0.0)
    likelihood = (
        "possible as a measurement error"
        if away <= 2.0
        else "unlikely as a measurement error"
        if away <= 4.0
        else "too large for a measurement error"
    )
    return (
        f"{label(what_if.quantity)}: {amount(what_if.quantity, what_if.needed, unit)} instead"
        f" of {amount(what_if.quantity, what_if.value, unit)}, {away:.0f} times its standard"
        f" error; {likelihood}."
    )


def next_sentence(offer: NextMeasurement, verdict: str | None) -> str:
    """Return one offer of what to measure next."""
    what = " + ".join(label(name) for name in offer.names)
    again = " (repeat)" if offer.is_repeat else ""
    bared = ", ".join(BARED_WORDS[code] for code in offer.bared)
    text = (
        f"{what}{again}: narrows the range by {offer.narrower_by:.1f} points, to"
        f" {offer.width_expected:.1f} ({offer.minutes:g} min; clothing: {bared})."
    )
    # from one family on, agreement is what everybody expects: only a quarrel is news
    plain = {verdict, "agree"} if verdict == "single" else {verdict}
    changed = {word: chance for word, chance in offer.verdicts.items() if word not in plain}
    if changed:
        word, chance = max(changed.items(), key=lambda item: item[1])
        if chance >= 0.1:
            text += f' Chance that the verdict changes to "{word}": {100 * chance:.0f}%.'
    return text


def sheet_sentences(check: SheetCheck, units: ShownUnits = METRIC) -> list[str]:
    """Return whether the numbers of a sheet add up, and which one to doubt."""
    if check.adds_up is None:
        return ["Too few numbers to check: three of the four are needed."]
    if check.adds_up:
        return ["The numbers add up."]
    if check.may_be_bone and check.missing_kg is not None:
        return [
            f"Fat mass and fat-free (lean) mass fall {check.missing_kg / units.per_mass:.1f}"
            f" {units.mass} short of the weight, about what bone mineral weighs. If the sheet"
            " lists bone separately, nothing is wrong."
        ]
    lines = ["The numbers do not add up."]
    corrections = [
        f"{SHEET_NAMES[name]}: {_of_sheet(name, value, units)} instead of"
        f" {_of_sheet(name, getattr(check.filled, name), units)}"
        for name, value in check.corrections
    ]
    if check.exchanged:
        lines.append("Fat mass and fat-free (lean) mass look swapped.")
    elif len(corrections) == 1:
        lines.append(f"If one number is wrong, it is this one: {corrections[0]}.")
    elif corrections:
        lines.append(
            f"Changing any one of these would make the sheet add up: {'; or '.join(corrections)}."
        )
    elif not check.other_unit:
        lines.append("No single correction makes the sheet add up. Copy the numbers again.")
    if check.other_unit:
        lines.append(_unit_sentence(check))
    return lines


def _unit_sentence(check: SheetCheck) -> str:
    """Return which masses look like pounds or stone, and how to write them."""
    names = capital(" and ".join(SHEET_NAMES[name] for name in check.in_other_unit))
    verb = "looks" if len(check.in_other_unit) == 1 else "look"
    others = "weight" if "weight" not in check.in_other_unit else "other masses"
    return (
        f"{names} {verb} like {UNIT_PLURAL[check.other_unit]}, and the {others} like"
        " kilograms. Write the unit with the number, as in"
        f" {OTHER_UNIT_EXAMPLE[check.other_unit]}."
    )


def _of_sheet(name: str, value: float, units: ShownUnits) -> str:
    if name == "fat_percent":
        return f"{value:.1f}%"
    return f"{value / units.per_mass:.1f} {units.mass}"


def outside_sentences(
    placed: Placed, reference_method: str, *, included: bool, units: ShownUnits = METRIC
) -> list[str]:
    """Return where an outside result stands against the range."""
    name = capital(OUTSIDE_NAMES[placed.method])
    lines = []
    if (
        placed.on_reference_method is not None
        and placed.error is not None
        and placed.fat_percent is not None
    ):
        moved = abs(placed.on_reference_method - placed.fat_percent) > 0.05
        there = (
            f", {placed.on_reference_method:.1f}% when converted to {REFERENCE_NAMES[reference_method]}"
            if moved
            else ""
        )
        place = (
            "inside this visit's range"
            if not placed.points_outside
            else f"{placed.points_outside:.1f} points outside this visit's range"
        )
        fits = "both can be right" if placed.consistent else "it is unlikely that both are right"
        lines.append(
            f"{name}: {placed.fat_percent:.1f}%{there}, ± {placed.error:.1f}: {place}; {fits}."
        )
    else:
        lines.append(f"{name}: cannot be compared.")
    if placed.check.adds_up is False:
        lines += sheet_sentences(placed.check, units)
    lines += [REMARK_SENTENCES[code] for code in placed.remarks if code != "does_not_add_up"]
    if included and not placed.consistent:
        lines.append("It is included in the range, which was widened for it.")
    else:
        lines.append(
            "It is included in the range." if included else ("It is not included in the range.")
        )
    return lines


def pair_form(pair: Pair) -> str:
    """Return in which form the difference of two methods is taken apart."""
    return "after correction" if pair.is_levelled else "as published"


def known_bias_sentence(pair: Pair) -> str:
    """Return what two methods are known to read off, where that sets them a point or more apart.

    A remark, not a reason: it is taken off before the reasons are told, or is part of what is usual.
    """
    first, second = pair.reads_off
    if abs(first - second) < LEAST_REMARKED:
        return ""
    parts = [
        (
            f"{FAMILY_NAMES.get(name, name)} {abs(points):.1f} points too"
            f" {'high' if points > 0 else 'low'}"
        )
        if abs(points) >= LEAST_SHOWN
        else f"{FAMILY_NAMES.get(name, name)}: no known error"
        for name, points in zip(pair.between, pair.reads_off, strict=True)
    ]
    done = "corrected above" if pair.is_levelled else "not corrected"
    whom = "at this age"
    if "skinfold" in pair.between:
        whom += " and, for skinfolds, at this result"
    if pair.by_background:
        whom += ", for the stated background"
    return f"Known average error {whom}, from the US survey: {'; '.join(parts)} ({done})."
