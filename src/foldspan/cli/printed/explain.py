"""The explain pages as text: trainer, client and clinician; 80 columns."""

from __future__ import annotations

import math

from foldspan.cli.lines import bullet, table, wrap
from foldspan.cli.printed.health import flags_part, short_source
from foldspan.cli.printed.reconcile import heading, likely_sentence, no_range_parts
from foldspan.explanation.decomposition import Pair, turned
from foldspan.explanation.sensitivity import Without
from foldspan.quantities import Sex
from foldspan.results.explanation import Explanation
from foldspan.results.offers import is_measured_again, offered
from foldspan.text.client_message import client_words
from foldspan.text.codes.flags import LEVEL_WORDS
from foldspan.text.codes.reconcile import (
    FAMILY_NAMES,
    MEASURE_AGAIN,
    ONLY_THEN,
    SCALE_NAMES,
    SIZE_WORDS,
    capital,
    made_with,
    verb,
    verdict_sentence,
)
from foldspan.text.en.explain import (
    OUTSIDE_NAMES,
    label,
    next_sentence,
    outside_sentences,
    pair_form,
    reads_off_sentence,
    reason_words,
    slip_sentence,
    would_agree_sentence,
)
from foldspan.visit.model import Visit

MOST_NEEDED, MOST_WITHOUT = 4, 6
# normal quantile at .995: 1 in 100 on the two sides together
FAR_FROM = 2.576
# a measurement is listed under "without" if it moves the middle, or the width, by this much [points]
WORTH_LISTING = 0.5


def trainer_page(visit: Visit, explanation: Explanation) -> str:
    """Return the full page: every reason with its points."""
    result = explanation.result
    parts = [heading(visit)]
    if result.flags:
        parts.append(flags_part(result.health, with_intake=False))
    if not result.has_range:
        parts += no_range_parts(result)
        return "\n\n".join([*parts, _cautions(explanation)])
    said = [
        wrap(likely_sentence(result)),
        wrap(verdict_sentence(result.verdict, result.misfit.inflation)),
        wrap(made_with(result)),
    ]
    opening = "\n".join(one for one in said if one)
    parts += [opening, *_slips(explanation)]
    if explanation.headline is None:
        parts.append(_single(explanation))
    else:
        parts += [_pair(explanation.headline, result.verdict), *_other_pairs(explanation)]
        parts += [_needed(explanation)]
    parts += [_others(explanation), _without(explanation), *_outside(explanation)]
    parts += [_next(explanation, visit.client.known_sex), _cautions(explanation)]
    return "\n\n".join(part for part in parts if part)


def client_page(explanation: Explanation) -> str:
    """Return the client's words."""
    return wrap(client_words(explanation))


def clinician_lines(explanation: Explanation) -> str:
    """Return a few lines: methods and scale, range and verdict, reasons, a line for each flag."""
    result = explanation.result
    flags = [
        f"Flag, {LEVEL_WORDS[one.level]}: {one.for_clinician} [{short_source(one.source)}]"
        for one in result.flags
    ]
    if not result.has_range:
        return "\n".join(
            [
                "Methods: none usable.",
                "Range: none. " + " ".join(f"{capital(one.what)}." for one in result.problems),
                *flags,
                "Screening, not a diagnosis.",
            ]
        )
    fat, misfit = result.fat_percent, result.misfit
    assert fat.likely is not None
    assert fat.wide is not None
    methods = "; ".join(
        f"{FAMILY_NAMES[one.family]} {one.estimate:.1f} % (SE {one.se:.1f}, weight"
        f" {100 * one.weight:.0f} %, {len(one.equations)} equations)"
        for one in result.families
    )
    methods += "".join(
        f"; from elsewhere {OUTSIDE_NAMES[one.method]} {one.fat_percent:.1f} %"
        f" ({'taken in' if joined else 'not taken in'})"
        for one, joined in zip(explanation.outside, explanation.included, strict=True)
        if one.fat_percent is not None
    )
    verdict = f"methods {result.verdict}" if result.verdict != "single" else "one method only"
    if misfit.p is not None and misfit.q is not None:
        verdict += f" (chi-square {misfit.q:.1f}, {misfit.dof} df, p {_p(misfit.p)})"
    lines = [
        f"Methods, as {SCALE_NAMES[result.scale]} would read: {methods}.",
        f"Body fat {fat.estimate:.1f} %, 80 % range {fat.likely[0]:.1f} to {fat.likely[1]:.1f}, 95 %"
        f" range {fat.wide[0]:.1f} to {fat.wide[1]:.1f}; {verdict}.",
        made_with(result),
        f"Reasons: {_again(explanation)}{_in_short(explanation)} Screening, not a diagnosis.",
        *flags,
    ]
    return "\n".join(one for one in lines if one)


def _again(explanation: Explanation) -> str:
    """Which readings are in doubt, for the clinician."""
    names = dict.fromkeys(label(name) for one in explanation.slips for name in one.names)
    return f"reading in doubt, to be repeated first: {', '.join(names)}. " if names else ""


def _p(chance: float) -> str:
    return "< 0.001" if chance < 0.001 else f"= {chance:.3f}"


def _in_short(explanation: Explanation) -> str:
    """The furthest pair and its largest reasons in one sentence."""
    one = explanation.headline
    if one is None:
        return "only one family of methods was measured."
    one = turned(one)
    high, low = (FAMILY_NAMES.get(name, name) for name in one.between)
    reasons = ", ".join(
        f"{reason_words(reason)} {reason.points:+.1f}"
        for reason in one.reasons[:3]
        if abs(reason.points) >= 1.0
    )
    text = f"{high} {one.on_scale:.1f} points above {low} (chance: up to {one.allowed:.1f})"
    text += f": {reasons}" if reasons else ""
    return f"{text}; not explained {one.unexplained:+.1f}."


def _slips(explanation: Explanation) -> list[str]:
    if not explanation.slips:
        return []
    typed, units = explanation.typed, explanation.units
    lines = [bullet(slip_sentence(one, typed, units)) for one in explanation.slips]
    return ["\n".join(["Measure again first", *lines])]


def _single(explanation: Explanation) -> str:
    families = [one.family for one in explanation.result.families]
    lacking = [name for code, name in FAMILY_NAMES.items() if code not in families]
    return wrap(
        f"Only {FAMILY_NAMES[families[0]]} could be used, so there is no difference to explain. Missing:"
        f" {', '.join(lacking)}. See below what to measure next."
    )


def _size(one: Pair, verdict: str | None) -> str:
    """How unusual a difference is, in words; never more than the verdict on all methods together."""
    if verdict == "agree" or one.is_ordinary:
        return SIZE_WORDS["agree"]
    far = abs(one.beyond_usual) > FAR_FROM * one.by_chance
    return SIZE_WORDS["disagree" if far else "strained"]


def _pair(one: Pair, verdict: str | None) -> str:
    one = turned(one)
    high, low = (FAMILY_NAMES.get(name, name) for name in one.between)
    lines = [
        wrap(
            f"{_first_word(high)} {verb(high)} {one.on_scale:.1f} points above {low}:"
            f" {_size(one, verdict)}. Chance keeps 9 in 10 such differences within"
            f" {one.allowed:.1f} points of what is usual for these equations."
        ),
        _points(one.difference, f"{pair_form(one)} ({one.on_scale:+.1f} on one scale), made of"),
    ]
    lines += [_points(reason.points, reason_words(reason)) for reason in one.reasons]
    lines.append(_points(one.unexplained, "not explained"))
    known = reads_off_sentence(one)
    lines += [wrap(known, "  ", "  ")] if known else []
    return "\n".join(lines)


def _first_word(name: str) -> str:
    """A family with a capital letter; the key of an equation as it is."""
    return capital(name) if name in FAMILY_NAMES.values() else name


def _points(points: float, what: str) -> str:
    return wrap(what, f"  {points:+6.1f}  ", " " * 10)


def _other_pairs(explanation: Explanation) -> list[str]:
    """Pairs that are more than ordinary in full, the ordinary ones in a line each."""
    rest = [turned(one) for one in explanation.pairs if one is not explanation.headline]
    agree = explanation.result.verdict == "agree"
    full = [
        _pair(one, explanation.result.verdict) for one in rest if not (agree or one.is_ordinary)
    ]
    ordinary = [
        bullet(
            f"{FAMILY_NAMES[one.between[0]]} {one.on_scale:.1f} above {FAMILY_NAMES[one.between[1]]}"
            f"{_usual_part(one)} (chance: up to {one.allowed:.1f})"
        )
        for one in rest
        if agree or one.is_ordinary
    ]
    if ordinary:
        full.append("\n".join(["Ordinary differences", *ordinary]))
    return full


def _usual_part(one: Pair) -> str:
    """How much of a difference is usual for these equations, if that is worth a word."""
    usual = one.on_scale - one.beyond_usual
    return f", {usual:.1f} of it usual" if usual >= 0.5 else ""


def _needed(explanation: Explanation) -> str:
    """What would have to be true for the headline pair to agree."""
    assert explanation.headline is not None
    one = turned(explanation.headline)
    if one.is_ordinary or explanation.result.verdict == "agree":
        return ""
    high, low = (FAMILY_NAMES.get(name, name) for name in one.between)
    units = explanation.units
    possible = [need for need in explanation.would_agree if need.needed is not None]
    never = len(explanation.would_agree) - len(possible)
    lines = [
        bullet(would_agree_sentence(need, units.get(need.quantity, "")))
        for need in possible[:MOST_NEEDED]
    ]
    if never:
        which = "other reading" if possible else "single reading"
        lines.append(
            bullet(
                f"No {which} would do it alone, from half of it to twice (folds: a quarter to four"
                " times)."
            )
        )
    title = wrap(f"For {high} and {low} to agree, one of these would have to be")
    return "\n".join([title, *lines])


def _others(explanation: Explanation) -> str:
    """Findings that are about the whole visit, not about one pair."""
    about_pairs = {"families_apart", "slip"} | {
        reason.code for one in explanation.pairs for reason in one.reasons
    }
    whole = [one for one in explanation.findings if one.code not in about_pairs]
    if not whole:
        return ""
    return "\n".join(["Also", *(bullet(one.text) for one in whole)])


def _without(explanation: Explanation) -> str:
    """How the range moves without each family, and without the measurements that matter most."""
    width, middle = explanation.own_width or 0.0, explanation.own_middle or 0.0

    def moves(one: Without) -> float:
        if one.estimate is None or one.likely is None:
            return math.inf
        return max(abs(one.estimate - middle), abs(one.likely[1] - one.likely[0] - width))

    families = [one for one in explanation.leave_one_out if one.without in FAMILY_NAMES]
    sites = [one for one in explanation.leave_one_out if one.without not in FAMILY_NAMES]
    sites = sorted((one for one in sites if moves(one) >= WORTH_LISTING), key=lambda x: -moves(x))
    title = "Range of the visit's own without" if any(explanation.included) else "Range without"
    rows, points = [f"{title:<40}{'middle':>8}{'likely':>16}"], []
    for one in [*families, *sites[:MOST_WITHOUT]]:
        name = f"  {label(one.without)}"
        if one.estimate is None or one.likely is None:
            rows.append(f"{name:<40}{'no range':>24}")
            points.append(f"{label(one.without)}: no range")
            continue
        span = f"{one.likely[0]:.1f} to {one.likely[1]:.1f}"
        rows.append(f"{name:<40}{one.estimate:>6.1f} %{span:>16}")
        points.append(f"{label(one.without)}: middle {one.estimate:.1f} %, likely {span}")
    return "\n".join(table(rows, title, points)) if points else ""


def _outside(explanation: Explanation) -> list[str]:
    if not explanation.outside:
        return []
    lines = ["Results from elsewhere"]
    for one, included in zip(explanation.outside, explanation.included, strict=True):
        said = outside_sentences(one, explanation.result.scale, included=included)
        lines.append(bullet(" ".join(said)))
    return ["\n".join(lines)]


def _next(explanation: Explanation, sex: Sex | None) -> str:
    verdict = explanation.result.verdict
    offers = offered(explanation, sex)
    lines = [bullet(next_sentence(one, verdict)) for one in offers]
    is_again = is_measured_again(explanation)
    if not offers and not is_again:
        lines.append(bullet("Nothing that is left would narrow the range by 0.1 points or more."))
    if offers and is_again:
        lines.insert(0, bullet(ONLY_THEN))
    repeat = explanation.best_repeat
    if explanation.slips:
        lines.insert(
            0, bullet("First what is named above to be measured again: all else may change.")
        )
    if is_again:
        lines.insert(0, bullet(MEASURE_AGAIN))
    elif explanation.slips:
        pass
    elif repeat is not None and repeat.narrower_by >= 0.05:
        lines.append(
            bullet(
                f"Of all repeats, one more of {label(repeat.names[0])} would help most: narrower by"
                f" {repeat.narrower_by:.1f} points."
            )
        )
    elif repeat is not None:
        lines.append(bullet("No repeat of a site would narrow the range to speak of."))
    whose = "range of the visit's own methods" if any(explanation.included) else "range"
    width = explanation.own_width or 0.0
    title = wrap(f"What to measure next (the {whose} is {width:.1f} points wide now)")
    return "\n".join([title, *lines])


def _cautions(explanation: Explanation) -> str:
    return "\n".join(["Cautions", *(bullet(one) for one in explanation.result.cautions)])
