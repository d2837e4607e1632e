"""Checks: a reading that was just typed, held against what is known of this body.

Refused is only what is impossible; everything else is asked back once, with the slip that would explain
it, and stands if it is typed again.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.intake.model import Intake
from foldspan.intake.rules import loses_too_much
from foldspan.measurement.against_earlier import (
    is_far_from_last,
    is_far_from_reported,
    may_be_aged,
)
from foldspan.measurement.between_sites import broken_checks, fit_problems
from foldspan.measurement.plausibility import likely_unit, range_problem, span_problem
from foldspan.problems import Problem
from foldspan.protocol.site_guide import Mark
from foldspan.quantities import BY_NAME, SEXES, WAISTS, Quantity, Sex, number_and_unit
from foldspan.session.answers import (
    Known,
    Prompt,
    allowed_apart,
    is_narrow,
    read_sites,
    sex_of,
)
from foldspan.session.sites import guide_of
from foldspan.visit.refused import BODY, light_body_cannot_wait

IF_RIGHT = "If it is correct, type it again."
# problems with which a line is refused; with any other it stands if it is typed again
REFUSES = ("E102", "E107", "E125")
FIT_ASKS_FOR = ("weight_kg", "height_cm", *WAISTS)


def objections(
    known: Known,
    prompt: Prompt,
    value: float,
    *,
    at_least: bool,
    typed: str = "",
    unit: str = "",
) -> list[Problem]:
    """Return what speaks against a reading in canonical units.

    ``typed`` is what was typed and ``unit`` that of a bare number, so that this is what is shown.

    E102 and E107 refuse it; E103, E123 and E124 ask it back. The values of other readings are not in
    the words: second readings are taken blind.
    """
    quantity = BY_NAME[prompt.quantity]
    sex = sex_of(known)
    found = span_problem(
        value, quantity, sex, quantity.label, accept_unusual=False, typed=typed, unit=unit
    )
    is_adult = not is_narrow(known)
    if found is not None and (found.code == "E107" or (found.code == "E102" and is_adult)):
        return [_with_decimal_hint(found, value, quantity, sex, typed)]
    if at_least:
        return []  # whoever types "60+" has looked at the scale
    if not is_adult:  # the spans are those of adults
        return _unlike_size(known, prompt, value)
    if found is not None:
        remedy = _unit_hint(found) or _decimal_hint(value, quantity, sex, typed)
        return [
            Problem("E103", found.where, found.what, f"{remedy} {IF_RIGHT}".strip(), found.given)
        ]
    apart = (
        _less_than_half(known, prompt, value)
        or _far_from_first(known, prompt, value)
        or _far_from_last(known, prompt, value)
        or _far_from_reported(known, prompt, value)
        or _unlike_landmarks(known, prompt, value)
    )
    found_odd = [apart] if apart else _does_not_go_with(known, prompt, value)
    return [replace(objection, given=typed or f"{value:g}") for objection in found_odd]


def distance_objection(known: Known, name: str, value: float) -> Problem | None:
    """Return what speaks against a distance between two landmarks [cm], None for a usual one.

    Asked back once: by the height where one was read, today or at the last visit, else by the heights
    of adults.
    """
    mark = guide_of(known, name).mark
    assert mark is not None
    low, high = _usual_distance(known, mark)
    if low <= value <= high or is_narrow(known):
        return None
    what = f"outside the usual {low:.1f} to {high:.1f} cm from {mark.first} to {mark.last}"
    remedy = f"Check both landmarks and the unit. {IF_RIGHT}"
    return Problem("E103", "Distance", what, remedy, f"{value:g}")


def _usual_distance(known: Known, mark: Mark) -> tuple[float, float]:
    """Least and greatest usual distance [cm] of the two landmarks of a mark."""
    height = _known_value(known, "height_cm")
    short, tall = BY_NAME["height_cm"].plausible(sex_of(known))
    low, high = mark.usual
    return low * (height or short), high * (height or tall)


def _unlike_landmarks(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """A height that does not go with a distance between landmarks as it was measured."""
    if prompt.quantity != "height_cm" or prompt.turn > 1:
        return None
    for key, answer in known.answers.items():
        name = key.removeprefix("mark.")
        if name == key or not isinstance(answer, dict) or "value" not in answer:
            continue
        mark = guide_of(known, name).mark
        if mark is None or answer.get("confirmed"):
            continue
        low, high = (share * value for share in mark.usual)
        if not low <= answer["value"] <= high:
            what = f"an unusual distance from {mark.first} to {mark.last}"
            site = BY_NAME[name].short_name
            remedy = (
                f"Check it; if the mark is wrong, type back {site} and mark it again. {IF_RIGHT}"
            )
            return Problem("E123", BY_NAME["height_cm"].label, what, remedy, f"{value:g}")
    return None


def _less_than_half(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """A weight of which more was lost, by the earlier one as reported, than is left."""
    before = known.number("earlier_weight_kg")
    if prompt.quantity != "weight_kg" or before is None or not loses_too_much(value, before):
        return None
    what = "at most half of the reported earlier weight"
    remedy = (
        "Measure again. If the earlier weight is wrong, type back earlier_weight_kg and enter it"
        " again."
    )
    return Problem("E125", BY_NAME["weight_kg"].label, what, remedy, f"{value:g}")


def earlier_weight_objection(known: Known, value: float) -> Problem | None:
    """Return what speaks against an earlier weight [kg] where today's was read before it."""
    if "weight_kg" not in read_sites(known) or not loses_too_much(_last(known, "weight_kg"), value):
        return None
    what = "at least twice the weight just measured"
    remedy = "Check the number and its unit. If the weight is wrong, type back weight first."
    return Problem("E125", "Your answer", what, remedy, f"{value:g}")


def _far_from_reported(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """A weight that hardly goes with the earlier one that the client told."""
    before, months = known.number("earlier_weight_kg"), known.number("earlier_weight_months_ago")
    if prompt.quantity != "weight_kg" or prompt.turn > 1 or before is None:
        return None
    if not is_far_from_reported(value, before, months):
        return None
    what = "far from the earlier weight the client reported"
    remedy = f"Check the unit of both, and how long ago that was. {IF_RIGHT}"
    return Problem("E124", BY_NAME["weight_kg"].label, what, remedy, f"{value:g}")


def not_the_same(known: Known, key: str, value: object) -> Problem | None:
    """Ask back a sex or an age that does not go with what this code told last time."""
    last = known.last
    if last is None:
        return None
    is_other_sex = key == "sex" and {last.sex, value} == set(SEXES)
    is_other_age = (
        key == "age_years"
        and isinstance(value, float)
        and not may_be_aged(value, last.age_years, last.weeks)
    )
    if not (is_other_sex or is_other_age):
        return None
    what = "differs from the last visit with this code"
    remedy = "Is the code right? (To change it: back code) If it is the same person, type it again."
    return Problem("E124", "sex" if is_other_sex else "age", what, remedy)


def _unit_hint(problem: Problem) -> str:
    """The unit that was probably meant, out of the words made for a file."""
    words = problem.remedy.split(" If it is correct")[0]
    return words if words.startswith("It looks like") else ""


def _with_decimal_hint(
    problem: Problem, value: float, quantity: Quantity, sex: Sex | None, typed: str
) -> Problem:
    """Ask for the decimal point where it alone makes an impossible value usual."""
    has_unit = problem.remedy.startswith("It looks like")
    hint = "" if has_unit else _decimal_hint(value, quantity, sex, typed)
    return replace(problem, remedy=f"{hint} {problem.remedy}".strip())


def _decimal_hint(value: float, quantity: Quantity, sex: Sex | None, typed: str) -> str:
    """Ask for the decimal point where it alone would make the value usual."""
    meant = _without_decimal_slip(value, quantity, sex, typed)
    return f"Check the decimal point: was it {meant}?" if meant else ""


def _without_decimal_slip(value: float, quantity: Quantity, sex: Sex | None, typed: str) -> str:
    """The number as it was typed, its decimal point where the value is usual; "" where that is none."""
    low, high = quantity.plausible(sex)
    number = number_and_unit(typed or f"{value:g}", quantity.unit)[0]
    for factor in (0.1, 10.0):
        if low <= value * factor <= high and number == number:
            return f"{number * factor:g}"
    return ""


def line_meant(known: Known, prompt: Prompt, value: float, typed: str, unit: str) -> str:
    """Return the line that was probably meant by one outside the usual span, "" where none is likely.

    ``value`` is in canonical units; ``typed`` is the line and ``unit`` that of a bare number.
    """
    quantity, sex = BY_NAME[prompt.quantity], sex_of(known)
    low, high = quantity.plausible(sex)
    if low <= value <= high or not typed:
        return ""
    number, said_unit = number_and_unit(typed, quantity.unit)
    if other := likely_unit(number, quantity, sex, said_unit or unit or quantity.unit):
        return f"{number:g} {other}"
    return _without_decimal_slip(value, quantity, sex, typed)


def _far_from_first(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """A second or third reading that cannot be of the same site as the first."""
    earlier = [
        reading
        for turn in range(1, prompt.turn)
        if (reading := known.value(turn, prompt.quantity)) is not None
    ]
    quantity = BY_NAME[prompt.quantity]
    if not earlier or range_problem([*earlier, value], quantity, "", accept_unusual=False) is None:
        return None
    other = _other_site(known, prompt, value)
    hint = (
        f"It looks like the {BY_NAME[other].label}: did you measure that site instead?"
        if other
        else ""
    )
    what = "far from the earlier reading of this site"
    return Problem("E124", quantity.label, what, f"{hint} {IF_RIGHT}".strip(), f"{value:g}")


def _far_from_last(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """A first reading that lies far from the client's last visit."""
    last, quantity = known.last, BY_NAME[prompt.quantity]
    if last is None or prompt.turn > 1 or prompt.quantity not in last.values:
        return None
    before = last.values[prompt.quantity]
    if not is_far_from_last(prompt.quantity, value, before, last.weeks):
        return None
    what = "far from the reading at the last visit"
    remedy = f"Check the site and the unit. {IF_RIGHT}"
    if quantity.kind == "height":
        what = "far from the last visit; an adult's height hardly changes"
        remedy = f"Check the height, and the code: is it the same person? {IF_RIGHT}"
    return Problem("E124", quantity.label, what, remedy, f"{value:g}")


def _other_site(known: Known, prompt: Prompt, value: float) -> str:
    """A site of the same kind that read just this in the first round."""
    kind = BY_NAME[prompt.quantity].kind
    for name in read_sites(known):
        first = known.value(1, name)
        if name == prompt.quantity or BY_NAME[name].kind != kind or first is None:
            continue
        if abs(first - value) <= allowed_apart(known, name, first):
            return name
    return ""


def urgent_if_right(known: Known, prompt: Prompt, value: float) -> Problem | None:
    """Return what a weight or height in doubt asks for today, if it is right; None for most.

    In the words of a file that is refused. Where the height is not known yet, that of the shortest
    adults stands for it: with any other the weight would be lower still.
    """
    quantity, sex = BY_NAME[prompt.quantity], sex_of(known)
    if prompt.quantity == "weight_kg":
        weight: float | None = value
        height = _known_value(known, "height_cm") or BY_NAME["height_cm"].plausible(sex)[0]
    elif prompt.quantity == "height_cm" and value <= quantity.possible(sex)[1]:
        weight = _last(known, "weight_kg") if "weight_kg" in read_sites(known) else None
        height = value
    else:
        return None
    if weight is None:
        return None
    client = {
        "sex": sex or "", "age_years": known.get("age_years"), "pregnant": bool(known.get("pregnant")),
    }  # fmt: skip
    intake = Intake(words=known.intake_words(), birth_months_ago=known.number("birth_months_ago"))
    where = " and ".join(BY_NAME[name].label for name in BODY)
    return light_body_cannot_wait(client, intake, weight, height, where)


def _known_value(known: Known, name: str) -> float | None:
    """A measurement of today, else of the last visit, None where there is none."""
    if name in read_sites(known):
        return _last(known, name)
    return None if known.last is None else known.last.values.get(name)


def _does_not_go_with(known: Known, prompt: Prompt, value: float) -> list[Problem]:
    """Weight, height and waist that rarely go together; two measurements beyond their bounds."""
    if unlike := _unlike_size(known, prompt, value):
        return unlike
    label = BY_NAME[prompt.quantity].label
    for check in broken_checks(_latest(known, prompt, value), sex_of(known)):
        if prompt.quantity in (check.first, check.second):
            other = check.second if prompt.quantity == check.first else check.first
            what = f"unusual for the {BY_NAME[other].label} that was measured"
            remedy = f"Check the unit and the site, then the {BY_NAME[other].label}. {IF_RIGHT}"
            return [Problem("E123", label, what, remedy, f"{value:g}")]
    return []


def _unlike_size(known: Known, prompt: Prompt, value: float) -> list[Problem]:
    """Weight, height and waist that do not go together; of the young and pregnant what cannot be."""
    if prompt.turn > 1 or prompt.quantity not in FIT_ASKS_FOR:
        return []
    values, age = _latest(known, prompt, value), known.number("age_years")
    label = BY_NAME[prompt.quantity].label
    found = fit_problems(
        values | ({} if age is None else {"age_years": age}),
        sex_of(known),
        label,
        accept_unusual=False,
        asks_back=not is_narrow(known),
    )
    if not found:
        return []
    remedy = found[0].remedy.split(" If all are correct")[0]
    end = "" if found[0].code in REFUSES else IF_RIGHT
    return [Problem(found[0].code, label, found[0].what, f"{remedy} {end}".strip())]


def _latest(known: Known, prompt: Prompt, value: float) -> dict[str, float]:
    """The latest reading of every site, with the one that was just typed."""
    return {name: _last(known, name) for name in read_sites(known)} | {prompt.quantity: value}


def _last(known: Known, name: str) -> float:
    """The latest reading of a site."""
    found = [value for turn in (1, 2, 3) if (value := known.value(turn, name)) is not None]
    return found[-1]
