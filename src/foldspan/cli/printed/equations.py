"""Cards as text and as JSON."""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Sequence
from typing import Any

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Bmi, Checked, Conversion, Equation, Status, Sum
from foldspan.catalogue.printed_error import points, printed_points
from foldspan.catalogue.sources import BY_KEY
from foldspan.cli.lines import beside, key_lines, width, wrap
from foldspan.display_units import signed
from foldspan.estimation.default_cards import on_request_because
from foldspan.estimation.evaluate import needed
from foldspan.estimation.known_offsets import offset_at
from foldspan.quantities import SEXES, Sex
from foldspan.reference.background_offsets import SHIFTS
from foldspan.reference.equation_errors import SURVEY_ERRORS
from foldspan.reference.proportional_bias import PROPORTIONAL_BIAS
from foldspan.text.en.reconcile import LEFT_OUT_WORDS

PREDICTS = {
    "density": "body density [g/cm³]",
    "fat_percent": "body fat [%]",
    "fat_mass": "fat mass [kg]",
    "fat_free_mass": "fat-free mass [kg]",
    "adipose_mass": "adipose tissue [kg]",
}
SE_UNITS = {"density": "g/cm³", "fat_percent": "percentage points of fat", "mass": "kg"}


SCALE_SHORT = {"density": "dens", "dxa": "DXA "}
DIGITS: dict[Status, str] = {
    "verified": "read",
    "read in a secondary text": "sec.",
    "not verified in print": "n.v.",
    "disputed": "disp.",
}
CHECKED_WORDS: dict[Checked, str] = {
    Checked.FROM_MEMORY: "double entry, source not seen",
    Checked.DOUBLE_ENTRY: "double entry",
    Checked.WORKED_EXAMPLE: "double entry and a printed example",
}
WHO = {"female": "women", "male": "men"}
DIGITS_LEGEND = (
    "From: digits read in print, read in a secondary text (sec.), not verified (n.v.) or disputed"
    " (disp.)."
)
# columns of a line with a card
LISTED = 80


def tree(card: Equation | Conversion) -> dict[str, Any]:
    """Return a card as a JSON tree; the formula as its source text."""
    source = BY_KEY[card.source]
    shared = {
        "key": card.key,
        "sex": card.sex,
        "population": card.population,
        "source": source.citation,
        "doi": source.doi,
        "seen": source.seen,
        "where": card.where,
        "status": card.status,
        "checked": card.checked.name.lower(),
        "ancestry": card.ancestry,
        "audience": card.audience,
        "note": card.note,
    }
    if isinstance(card, Conversion):
        return shared | {"c1": card.c1, "c2": card.c2, "ages": list(card.ages)}
    return shared | {
        "method": card.method,
        "predicts": card.predicts,
        "reference_method": card.reference_method,
        "inputs": [_input(given) for given in card.inputs],
        "needs": list(needed(card)),
        "formula": formula_text(card),
        "see": card.see,
        "see_unit": card.see_unit,
        "see_points": round(points(card, EQUATIONS), 2),
        "see_note": card.see_note,
        "survey_scatter": {
            sex: seen.scatter for sex, seen in SURVEY_ERRORS.get(card.key, {}).items()
        },
        "survey_offset": offsets(card),
        "survey_offset_by_background": by_background(card),
        "limits": {name: list(span) for name, span in card.limits.items()},
        "n": card.n,
        "on_request": on_request(card),
        "criterion": card.criterion,
        "sites": dict(card.sites),
        "lineage": card.lineage,
        "total_error_in_athletes": card.athletes_error,
        "known_bias": list(card.known_bias),
        "not_for": list(card.not_for),
    }


def listing(cards: Sequence[Equation | Conversion]) -> str:
    """Return one line a card, and a count."""
    equations = [card for card in cards if isinstance(card, Equation)]
    conversions = [card for card in cards if isinstance(card, Conversion)]
    lines: list[str] = []
    if width() < LISTED:
        lines += _listed_narrowly(conversions or equations)
    elif conversions:
        lines.append(f"{'key':<50}{'ages':<16}from")
        lines += [
            f"{conversion.key:<50}{f'{conversion.ages[0]:g}-{conversion.ages[1]:g} y':<16}"
            f"{DIGITS[conversion.status]}"
            for conversion in conversions
        ]
    else:
        lines.append(f"{'key':<65}{'SEE':>4} on   from")
        for card in equations:
            error = printed_points(card)
            shown = "-" if error is None else f"{error:.1f}"
            reference_method = SCALE_SHORT[card.reference_method]
            lines.append(f"{card.key:<65}{shown:>4} {reference_method} {DIGITS[card.status]}")
    kind = "conversions" if conversions else "equations"
    lines += ["", f"{len(conversions or equations)} {kind}.", wrap(DIGITS_LEGEND)]
    if not conversions:
        lines.append(
            wrap("SEE: published error in percentage points of fat; - if none is published.")
        )
        lines.append(wrap("On: reference method, density (underwater weighing) or DXA."))
    lines.append(wrap("To see one in full: foldspan equations KEY"))
    return "\n".join(lines)


def _listed_narrowly(cards: Sequence[Equation | Conversion]) -> list[str]:
    """Each card with its numbers below its key."""
    lines: list[str] = []
    for card in cards:
        lines += key_lines(card.key, "")
        if isinstance(card, Conversion):
            told = f"ages {card.ages[0]:g}-{card.ages[1]:g}"
        else:
            error = printed_points(card)
            shown = "-" if error is None else f"{error:.1f}"
            told = f"± {shown}, on {SCALE_SHORT[card.reference_method].strip()}"
        lines.append(f"    {told}, from {DIGITS[card.status]}")
    return lines


def full(card: Equation | Conversion) -> str:
    """Return one card in full."""
    source = BY_KEY[card.source]
    rows: list[tuple[str, str]] = [("key", card.key), ("sex", card.sex)]
    if isinstance(card, Conversion):
        rows += [
            ("formula", f"fat % = 100 ({card.c1} / density - {card.c2})"),
            ("ages", f"{card.ages[0]:g} to {card.ages[1]:g} years"),
        ]
    else:
        rows += _equation_rows(card)
    rows += [
        ("population", card.population),
        ("made for", " ".join(word for word in (card.ancestry, card.audience) if word)),
        ("source", source.citation + (f", doi {source.doi}" if source.doi else "")),
        ("where", card.where),
        ("seen", source.seen),
        ("coefficients", f"{card.status}; checked: {CHECKED_WORDS[card.checked]}"),
        ("in the range", _in_the_range(card)),
        ("note", card.note),
    ]
    return "\n".join(_row(name, text) for name, text in rows if text)


def on_request(card: Equation) -> dict[str, dict[str, str]]:
    """Why a card stays out of the range, a code by sex: levelled, and as printed."""
    found: dict[str, dict[str, str]] = {}
    for name, levelled in (("levelled", True), ("as_printed", False)):
        reasons = {sex: on_request_because(card, sex, levelled=levelled) for sex in sexes(card)}
        found[name] = {sex: reason for sex, reason in reasons.items() if reason}
    return found


def sexes(card: Equation) -> tuple[Sex, ...]:
    """Whom a card is for."""
    return SEXES if card.sex == "both" else (card.sex,)


def why_on_request(card: Equation) -> str:
    """Why a card stays out of the range, of whom and where; "" where it never does."""
    levelled, printed = on_request(card).values()
    said: list[str] = []
    for sex, reason in printed.items():
        whom = f"{WHO[sex]}: " if card.sex == "both" else ""
        out = (
            "no"
            if sex in levelled
            else ("not with underwater weighing as the reference method, nor with --as-printed")
        )
        said.append(f"{whom}{out}: {LEFT_OUT_WORDS[reason]}")
    if len(set(printed.values())) == 1 and len(said) == 2:
        said = [f"no: {LEFT_OUT_WORDS[next(iter(printed.values()))]}"]
    return "; ".join(said)


def _in_the_range(card: Equation | Conversion) -> str:
    """Why a card on request is out and where it is found; nothing for the others."""
    why = "" if isinstance(card, Conversion) else why_on_request(card)
    return f"{why}; reconcile --all shows its result" if why else ""


# ages at which the page says how far an equation is known to read off
OFFSET_AGES = (25, 45, 65)


def offsets(card: Equation) -> dict[str, dict[str, float]]:
    """How far a card is known to read off by sex and age [points of DXA fat]; positive is too high."""
    return {
        sex: {str(age): round(offset_at(card, sex, age) or 0.0, 2) for age in OFFSET_AGES}
        for sex in SURVEY_ERRORS.get(card.key, {})
    }


def by_background(card: Equation) -> dict[str, dict[str, float]]:
    """How much more a card reads too high where a background is stated, by sex [points of DXA fat]."""
    return {
        word: {sex: shift.points for sex, shift in by_key[card.key].items()}
        for word, by_key in SHIFTS.items()
        if card.key in by_key
    }


def _reads_off(card: Equation) -> str:
    """The same in words, "" where the survey does not know."""
    said = []
    for sex, by_age in offsets(card).items():
        first, *more = by_age.items()
        parts = [f"{_high_or_low(first[1], ' points')} at age {first[0]}"]
        parts += [f"{_high_or_low(points)} at {age}" for age, points in more]
        said.append(f"{WHO[sex]}: {', '.join(parts)}")
    if not said:
        return ""
    for word, by_sex in by_background(card).items():
        points = ", ".join(f"{WHO[sex]} {signed(shift, 1)}" for sex, shift in by_sex.items())
        said.append(f"where {word.capitalize()} is stated, a further {points}")
    by_result = ", also by how high its result is" if card.key in PROPORTIONAL_BIAS else ""
    return (
        f"{'; '.join(said)} (compared with DXA in the US survey of 1999-2002; corrected{by_result},"
        " when DXA is the reference method)"
    )


def _high_or_low(points: float, unit: str = "") -> str:
    """How far an equation reads off, without a sign."""
    return f"{abs(points):.1f}{unit} too {'high' if points > 0 else 'low'}"


def _equation_rows(card: Equation) -> list[tuple[str, str]]:
    seen = SURVEY_ERRORS.get(card.key, {})
    scatter = ", ".join(f"{step.scatter:.1f} in {WHO[sex]}" for sex, step in seen.items())
    error = "none published"
    if card.see is not None:
        error = (
            f"{card.see:g} {SE_UNITS[card.see_unit]} (about {points(card, EQUATIONS):.1f} points)"
        )
    elif not seen:
        error += (
            f"; the largest of its kind is used (about {points(card, EQUATIONS):.1f}"
            " percentage points)"
        )
    if seen:
        error += f"; scatter compared with DXA in the survey of 1999-2002: {scatter}"
    if card.see_note:
        error += f"; {card.see_note}"
    reads_off = _reads_off(card)
    spans = [f"{name} {low:g} to {high:g}" for name, (low, high) in card.limits.items()]
    in_athletes = ""
    if card.athletes_error is not None:
        in_athletes = f"total error {card.athletes_error:g} percentage points in a cross-validation"
    return [
        ("method", card.method),
        ("predicts", PREDICTS[card.predicts]),
        ("reference_method", f"{card.reference_method} ({card.criterion})"),
        ("needs", ", ".join(needed(card))),
        ("sites", ", ".join(f"{name}: {variant}" for name, variant in card.sites.items())),
        ("formula", formula_text(card)),
        ("error", error),
        ("limits", ", ".join(spans)),
        ("n", "" if card.n is None else str(card.n)),
        ("known error", reads_off),
        ("in athletes", in_athletes),
        ("known bias", "; ".join(card.known_bias)),
        ("not for", ", ".join(card.not_for)),
    ]


def formula_text(card: Equation) -> str:
    """Return the body of the formula as written in the catalogue, with its table if it has one."""
    function = card.printed_formula
    inner = getattr(function, "func", function)
    body = ast.parse(textwrap.dedent(inspect.getsource(inner))).body[0]
    assert isinstance(body, ast.FunctionDef)
    steps = [
        f"{ast.unparse(step.target)} = {ast.unparse(step.value)}"
        if isinstance(step, ast.AnnAssign) and step.value is not None
        else ast.unparse(step)
        for step in body.body
        if not isinstance(step, ast.Expr)
    ]
    text = "; ".join(steps).replace("np.", "").removeprefix("return ")
    given = ", ".join(_input(name) for name in card.inputs)
    table = [str(value) for value in getattr(function, "args", ())]
    table += [f"{name}={value}" for name, value in getattr(function, "keywords", {}).items()]
    suffix = f"; {', '.join(table)}" if table else ""
    return f"{text}{suffix}, with ({given})"


def _input(given: object) -> str:
    if isinstance(given, Sum):
        return " + ".join(given.names)
    return "weight_kg / height_m²" if isinstance(given, Bmi) else str(given)


def _row(name: str, text: str) -> str:
    if name == "key" and len(text) > width() - 14:
        return "\n".join(key_lines(text, ""))
    return beside(f"{name:<14}", text)
