"""Wording of where an equation stands in the range: used by default or on request, and why."""

from __future__ import annotations

from collections.abc import Mapping

from foldspan.text.cards.words import WHO, known_bias_lines
from foldspan.text.en.reconcile import LEFT_OUT_WORDS, capital

IN_THE_RANGE = "Used in the range by default."
DISPUTED = "Not used in the range by default, because its coefficients are disputed."
YOUTH_ONLY = "Never used: there is no range for anyone under 18."


def standing(on_request: Mapping[str, Mapping[str, str]], status: str, audience: str) -> list[str]:
    """Return whether a card is used by default, by sex where it differs.

    ``on_request`` holds why it is not: a code by sex, levelled and as printed.
    """
    if audience == "youth":
        return [YOUTH_ONLY]
    if status == "disputed":
        return [DISPUTED]
    levelled, printed = on_request["levelled"], on_request["as_printed"]
    if not printed:
        return [IN_THE_RANGE]
    said = []
    for sex, reason in printed.items():
        words = LEFT_OUT_WORDS[reason].removeprefix("as published, ")
        if sex in levelled:
            said.append(f"not used by default, only listed on request: {words}")
        else:
            said.append(
                "used by default with DXA as the reference method; not with underwater weighing, or"
                f" where every equation is used as published, because it is {words}"
            )
    if len(set(said)) == 1:
        return [f"{capital(said[0])}."]
    return [f"{WHO[sex].capitalize()}: {line}." for sex, line in zip(printed, said, strict=True)]


def known_error(
    offsets: Mapping[str, Mapping[str, float]],
    by_background: Mapping[str, Mapping[str, float]],
    *,
    is_proportional: bool,
) -> list[str]:
    """Return how far an equation is off on average, and that this is corrected."""
    if not offsets:
        return []
    by_result = ", which also depends on how high the result is," if is_proportional else ""
    return [
        "Compared with DXA in the US survey (NHANES 1999-2002), on average this equation is:",
        *(f"{capital(line)}." for line in known_bias_lines(offsets, by_background)),
        f"With DXA as the reference method this average error{by_result} is corrected (levelled)"
        " before the result enters the range. The result as published is not corrected.",
    ]
