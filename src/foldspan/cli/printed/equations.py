"""Cards as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.api.cards.formula import formula_text
from foldspan.api.cards.tree import by_background, offsets, on_request
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Checked, Conversion, Equation, Status
from foldspan.catalogue.printed_error import points, printed_points
from foldspan.catalogue.sources import BY_KEY
from foldspan.cli.lines import beside, key_lines, width, wrap
from foldspan.estimation.evaluate import needed
from foldspan.reference.equation_errors import SURVEY_ERRORS
from foldspan.reference.proportional_bias import PROPORTIONAL_BIAS
from foldspan.text.cards.words import PREDICTS, SE_UNITS, WHO, known_bias_lines
from foldspan.text.en.reconcile import LEFT_OUT_WORDS

REFERENCE_SHORT = {"density": "dens", "dxa": "DXA "}
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
DIGITS_LEGEND = (
    "From: digits read in print, read in a secondary text (sec.), not verified (n.v.) or disputed"
    " (disp.)."
)
# columns of a line with a card
LISTED = 80


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
            reference_method = REFERENCE_SHORT[card.reference_method]
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
            numbers = f"ages {card.ages[0]:g}-{card.ages[1]:g}"
        else:
            error = printed_points(card)
            shown = "-" if error is None else f"{error:.1f}"
            numbers = f"± {shown}, on {REFERENCE_SHORT[card.reference_method].strip()}"
        lines.append(f"    {numbers}, from {DIGITS[card.status]}")
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


def _known_bias(card: Equation) -> str:
    """How far a card reads off in words, "" where the survey does not know."""
    said = known_bias_lines(offsets(card), by_background(card))
    if not said:
        return ""
    by_result = ", also by how high its result is" if card.key in PROPORTIONAL_BIAS else ""
    return (
        f"{'; '.join(said)} (compared with DXA in the US survey of 1999-2002; corrected{by_result},"
        " when DXA is the reference method)"
    )


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
    known_bias = _known_bias(card)
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
        ("known error", known_bias),
        ("in athletes", in_athletes),
        ("known bias", "; ".join(card.known_bias)),
        ("not for", ", ".join(card.not_for)),
    ]


def _row(name: str, text: str) -> str:
    if name == "key" and len(text) > width() - 14:
        return "\n".join(key_lines(text, ""))
    return beside(f"{name:<14}", text)
