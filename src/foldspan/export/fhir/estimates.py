"""What was worked out of a visit, as Observations: single equations, method groups, the range.

The range is plain R4: the estimate as a Quantity, the 80 % and the 95 % range as components, what they
mean in a note.
"""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Equation
from foldspan.estimation.evaluate import needed
from foldspan.export.fhir.elements import (
    DIGITS,
    UCUM,
    absent,
    concept,
    error,
    note,
    quantity,
    spread,
)
from foldspan.export.fhir.entries import Entries
from foldspan.protocol.waist_sites import bridges_to
from foldspan.quantities import WAISTS
from foldspan.results.explanation import Explanation
from foldspan.results.result import EquationResult, Result
from foldspan.text.en.reconcile import FAMILY_NAMES, REFERENCE_NAMES
from foldspan.text.explain import OUTSIDE_NAMES
from foldspan.text.made_with import made_with

CARD_BY_KEY: dict[str, Equation] = {card.key: card for card in EQUATIONS}


def methods(made: Entries, result: Result) -> None:
    """Add every equation in use, then what each family comes to."""
    for equation in result.equations:
        if equation.used and equation.estimate is not None and equation.se is not None:
            _equation(made, equation, result.reference_method)
    for family in result.methods:
        stated = REFERENCE_NAMES[result.reference_method]
        spoken = {"family": FAMILY_NAMES[family.method], "reference_method": stated}
        made.add(
            family.method,
            "one_method",
            origins=family.equations,
            method=concept("family", **spoken),
            valueQuantity=quantity(family.estimate, UCUM["percent"]),
            component=[error(family.se, UCUM["percent"])],
            note=note("weight", weight=f"{100 * family.weight:.0f}"),
        )


def _equation(made: Entries, equation: EquationResult, reference_method: str) -> None:
    assert equation.estimate is not None
    assert equation.se is not None
    method = concept(
        "equation", key=equation.key, source=equation.source,
        built=REFERENCE_NAMES[equation.reference_method],
        reference_method=REFERENCE_NAMES[reference_method],
    )  # fmt: skip
    made.add(
        equation.key,
        "one_method",
        origins=_read_by(made, equation.key),
        method=method,
        valueQuantity=quantity(equation.estimate, UCUM["percent"]),
        component=[error(equation.se, UCUM["percent"])],
    )


def _read_by(made: Entries, key: str) -> list[str]:
    """Return the sites that an equation read; for a waist not taken, the one that stood in."""
    found = []
    for name in needed(CARD_BY_KEY[key]):
        bridges = bridges_to(name, made.visit.client.sex) if name in WAISTS else ()
        chosen = [name, *(row.measured for row in bridges)]
        found += [name for name in chosen if name in made.visit.accepted][:1]
    return found


def outside(made: Entries, explanation: Explanation) -> list[str]:
    """Add the results from elsewhere that joined the range; return their keys."""
    joined = []
    for order, (given, placed, is_in) in enumerate(
        zip(made.visit.outside_results, explanation.outside, explanation.included, strict=True)
    ):
        if is_in and placed.fat_percent is not None:
            day = "" if given.day is None else given.day.isoformat()
            text = concept("outside", method=OUTSIDE_NAMES[given.method], day=day or "no date")
            made.add(
                f"outside.{order}",
                "one_method",
                method=text,
                valueQuantity=quantity(placed.fat_percent, UCUM["percent"]),
            )
            joined.append(f"outside.{order}")
    return joined


def answer(made: Entries, result: Result, outside: Sequence[str]) -> None:
    """Add the agreement range, and the masses that follow from it."""
    families = [*(family.method for family in result.methods), *outside]
    client = made.visit.client
    stated, age = REFERENCE_NAMES[result.reference_method], f"{int(client.age_years)}"
    method = concept("range", reference_method=stated, sex=client.sex, age=age)
    notes = note("range_means", verdict=result.verdict or "single")
    if made_with(result):
        notes = [*notes, *note("local", sentence=made_with(result))]
    for key, known, origins in (
        ("fat_percent", result.fat_percent, families),
        ("fat_mass", result.fat_mass_kg, ["fat_percent", "weight_kg"]),
        ("fat_free_mass", result.fat_free_mass_kg, ["fat_percent", "weight_kg"]),
    ):
        if known.estimate is not None:
            unit = UCUM["percent"] if key == "fat_percent" else UCUM["kg"]
            values = spread(known, unit)
            if key == "fat_free_mass" and "weight_kg" in made.visit.accepted:
                values["valueQuantity"] = quantity(_rest(made, result), unit)
            made.add(key, origins=origins, method=method, note=notes, **values)


def _rest(made: Entries, result: Result) -> float:
    """Fat-free mass as the rest of the weight that is told: the two add up to the digit."""
    weight = made.visit.accepted["weight_kg"].value
    return round(weight, DIGITS) - round(result.fat_mass_kg.estimate or 0.0, DIGITS)


def no_answer(made: Entries, result: Result) -> None:
    """Add why there is no range."""
    why = "; ".join(problem.what for problem in result.problems)
    is_refused = any(problem.code != "E203" for problem in result.problems)
    reason = absent("not-applicable" if is_refused else "not-performed", why)
    made.add("fat_percent", dataAbsentReason=reason)
