"""The explain pages as text: trainer, client and clinician; 80 columns."""

from __future__ import annotations

import math

from foldspan.cli.lines import bullet, table, wrap
from foldspan.cli.printed.health import flags_part, short_source
from foldspan.cli.printed.reconcile import heading, likely_sentence, no_range_parts
from foldspan.display_units import signed
from foldspan.explanation.decomposition import Pair, turned
from foldspan.explanation.sensitivity import LeftOutAnswer
from foldspan.quantities import Sex
from foldspan.results.explanation import Explanation
from foldspan.results.offers import is_measured_again, offered
from foldspan.text.client_message import client_words
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.reconcile import (
    FAMILY_NAMES,
    MEASURE_AGAIN,
    ONLY_THEN,
    REFERENCE_NAMES,
    SIZE_WORDS,
    capital,
    verb,
    verdict_sentence,
)
from foldspan.text.explain import (
    OUTSIDE_NAMES,
    known_bias_sentence,
    label,
    next_sentence,
    outside_sentences,
    pair_form,
    reason_words,
    slip_sentence,
    would_agree_sentence,
)
from foldspan.text.made_with import made_with
from foldspan.visit.model import Visit

MOST_NEEDED, MOST_WITHOUT = 4, 6
# normal quantile at .995: 1 in 100 on the two sides together
FAR_FROM = 2.576
# a measurement is listed under "without" if it moves the middle, or the width, by this much [points]
LEAST_LISTED = 0.5


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
    opening = "\n".join(text for text in said if text)
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
        f"Flag ({LEVEL_WORDS[flag.level]}): {flag.for_clinician} [{short_source(flag.source)}]"
        for flag in result.flags
    ]
    if not result.has_range:
        return "\n".join(
            [
                "Methods: none usable.",
                "Range: none. "
                + " ".join(f"{capital(problem.what)}." for problem in result.problems),
                *flags,
                "Screening, not a diagnosis.",
            ]
        )
    fat, misfit = result.fat_percent, result.misfit
    assert fat.range_80 is not None
    assert fat.range_95 is not None
    methods = "; ".join(
        f"{FAMILY_NAMES[family.method]} {family.estimate:.1f}% (SEE {family.se:.1f}, weight"
        f" {100 * family.weight:.0f}%, {len(family.equations)} equations)"
        for family in result.methods
    )
    methods += "".join(
        f"; external result, {OUTSIDE_NAMES[placed.method]} {placed.fat_percent:.1f}%"
        f" ({'included' if joined else 'not included'})"
        for placed, joined in zip(explanation.outside, explanation.included, strict=True)
        if placed.fat_percent is not None
    )
    verdict = f"methods {result.verdict}" if result.verdict != "single" else "one method only"
    if misfit.p is not None and misfit.q is not None:
        verdict += f" (chi-square {misfit.q:.1f}, {misfit.dof} df, p {_p(misfit.p)})"
    lines = [
        f"Methods (reference method {REFERENCE_NAMES[result.reference_method]}): {methods}.",
        f"Body fat {fat.estimate:.1f}%, 80% range {fat.range_80[0]:.1f}% to"
        f" {fat.range_80[1]:.1f}%, 95% range {fat.range_95[0]:.1f}% to"
        f" {fat.range_95[1]:.1f}%; {verdict}.",
        made_with(result),
        f"Reasons: {_again(explanation)}{_in_short(explanation)} Screening, not a diagnosis.",
        *flags,
    ]
    return "\n".join(line for line in lines if line)


def _again(explanation: Explanation) -> str:
    """Which readings are in doubt, for the clinician."""
    names = dict.fromkeys(label(name) for slip in explanation.slips for name in slip.names)
    return f"readings in doubt, to be repeated first: {', '.join(names)}. " if names else ""


def _p(chance: float) -> str:
    return "< 0.001" if chance < 0.001 else f"= {chance:.3f}"


def _in_short(explanation: Explanation) -> str:
    """The furthest pair and its largest reasons in one sentence."""
    pair = explanation.headline
    if pair is None:
        return "only one method group was measured."
    pair = turned(pair)
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
    reasons = "".join(
        f"{signed(reason.points, 1)} {reason_words(reason)}; "
        for reason in pair.reasons[:3]
        if abs(reason.points) >= 1.0
    )
    text = (
        f"{high} {pair.on_reference_method:.1f} percentage points above {low} (90% of such gaps are"
        f" within {pair.allowed:.1f} of the usual one)"
    )
    return f"{text}: {reasons}{signed(pair.unexplained, 1)} unexplained."


def _slips(explanation: Explanation) -> list[str]:
    if not explanation.slips:
        return []
    typed, units = explanation.typed, explanation.units
    lines = [bullet(slip_sentence(slip, typed, units)) for slip in explanation.slips]
    return ["\n".join(["Measure again first", *lines])]


def _single(explanation: Explanation) -> str:
    families = [family.method for family in explanation.result.methods]
    lacking = [name for code, name in FAMILY_NAMES.items() if code not in families]
    return wrap(
        f"Only {FAMILY_NAMES[families[0]]} could be used, so there is nothing to compare."
        f" Missing: {', '.join(lacking)}. See below for what to measure next."
    )


def _size(pair: Pair, verdict: str | None) -> str:
    """How unusual a difference is, in words; never more than the verdict on all methods together."""
    if verdict == "agree" or pair.is_ordinary:
        return SIZE_WORDS["agree"]
    far = abs(pair.beyond_usual) > FAR_FROM * pair.by_chance
    return SIZE_WORDS["disagree" if far else "strained"]


def _pair(pair: Pair, verdict: str | None) -> str:
    pair = turned(pair)
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
    level = signed(pair.on_reference_method, 1)
    lines = [
        wrap(
            f"{_first_word(high)} {verb(high)} {pair.on_reference_method:.1f} percentage points more"
            f" than {low}: {_size(pair, verdict)}. In 90% of people this gap is within"
            f" {pair.allowed:.1f} points of what is usual for these equations."
        ),
        _points(
            pair.difference, f"{pair_form(pair)} ({level} on the same reference method), made up of"
        ),
    ]
    lines += [_points(reason.points, reason_words(reason)) for reason in pair.reasons]
    lines.append(_points(pair.unexplained, "unexplained"))
    known = known_bias_sentence(pair)
    lines += [wrap(known, "  ", "  ")] if known else []
    return "\n".join(lines)


def _first_word(name: str) -> str:
    """A family with a capital letter; the key of an equation as it is."""
    return capital(name) if name in FAMILY_NAMES.values() else name


def _points(points: float, what: str) -> str:
    return wrap(what, f"  {signed(points, 1):>6}  ", " " * 10)


def _other_pairs(explanation: Explanation) -> list[str]:
    """Pairs that are more than ordinary in full, the ordinary ones in a line each."""
    rest = [turned(pair) for pair in explanation.pairs if pair is not explanation.headline]
    agree = explanation.result.verdict == "agree"
    full = [
        _pair(pair, explanation.result.verdict) for pair in rest if not (agree or pair.is_ordinary)
    ]
    ordinary = [
        bullet(
            f"{FAMILY_NAMES[pair.between[0]]} {pair.on_reference_method:.1f} points above"
            f" {FAMILY_NAMES[pair.between[1]]}{_usual_part(pair)} (normal: within"
            f" {pair.allowed:.1f} of the usual gap)"
        )
        for pair in rest
        if agree or pair.is_ordinary
    ]
    if ordinary:
        full.append("\n".join(["Normal differences", *ordinary]))
    return full


def _usual_part(pair: Pair) -> str:
    """How much of a difference is usual for these equations, if that is worth a word."""
    usual = pair.on_reference_method - pair.beyond_usual
    return f", usual gap {usual:.1f}" if usual >= 0.5 else ""


def _needed(explanation: Explanation) -> str:
    """What would have to be true for the headline pair to agree."""
    assert explanation.headline is not None
    pair = turned(explanation.headline)
    if pair.is_ordinary or explanation.result.verdict == "agree":
        return ""
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
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
                f"No {which} could close the gap on its own, even if halved or doubled"
                " (skinfolds: a quarter to four times)."
            )
        )
    title = wrap(f"For {high} and {low} to agree, one of these would have to change:")
    return "\n".join([title, *lines])


def _others(explanation: Explanation) -> str:
    """Findings that are about the whole visit, not about one pair."""
    about_pairs = {"families_apart", "slip"} | {
        reason.code for pair in explanation.pairs for reason in pair.reasons
    }
    whole = [finding for finding in explanation.findings if finding.code not in about_pairs]
    if not whole:
        return ""
    return "\n".join(["Also note", *(bullet(finding.text) for finding in whole)])


def _without(explanation: Explanation) -> str:
    """How the range moves without each family, and without the measurements that matter most."""
    width, middle = explanation.own_width or 0.0, explanation.own_estimate or 0.0

    def moves(moved: LeftOutAnswer) -> float:
        if moved.estimate is None or moved.range_80 is None:
            return math.inf
        return max(abs(moved.estimate - middle), abs(moved.range_80[1] - moved.range_80[0] - width))

    families = [moved for moved in explanation.leave_one_out if moved.without in FAMILY_NAMES]
    sites = [moved for moved in explanation.leave_one_out if moved.without not in FAMILY_NAMES]
    sites = sorted(
        (moved for moved in sites if moves(moved) >= LEAST_LISTED), key=lambda x: -moves(x)
    )
    title = (
        "If left out (this visit's methods only)" if any(explanation.included) else ("If left out:")
    )
    rows, points = [f"{title:<40}{'estimate':>8}{'80% range':>16}"], []
    for moved in [*families, *sites[:MOST_WITHOUT]]:
        name = f"  {label(moved.without)}"
        if moved.estimate is None or moved.range_80 is None:
            rows.append(f"{name:<40}{'no range':>24}")
            points.append(f"{label(moved.without)}: no range")
            continue
        span = f"{moved.range_80[0]:.1f} to {moved.range_80[1]:.1f}"
        rows.append(f"{name:<40}{moved.estimate:>7.1f}%{span:>16}")
        points.append(
            f"{label(moved.without)}: best estimate {moved.estimate:.1f}%, 80% range {span}"
        )
    return "\n".join(table(rows, title, points)) if points else ""


def _outside(explanation: Explanation) -> list[str]:
    if not explanation.outside:
        return []
    lines = ["Results from elsewhere"]
    for placed, included in zip(explanation.outside, explanation.included, strict=True):
        sentences = outside_sentences(
            placed, explanation.result.reference_method, included=included
        )
        lines.append(bullet(" ".join(sentences)))
    return ["\n".join(lines)]


def _next(explanation: Explanation, sex: Sex | None) -> str:
    verdict = explanation.result.verdict
    offers = offered(explanation, sex)
    lines = [bullet(next_sentence(offer, verdict)) for offer in offers]
    is_again = is_measured_again(explanation)
    if not offers and not is_again:
        lines.append(bullet("Nothing else would narrow the range by 0.1 points or more."))
    if offers and is_again:
        lines.insert(0, bullet(ONLY_THEN))
    repeat = explanation.best_repeat
    if explanation.slips:
        lines.insert(
            0, bullet("First repeat the measurements named above: everything else may change.")
        )
    if is_again:
        lines.insert(0, bullet(MEASURE_AGAIN))
    elif explanation.slips:
        pass
    elif repeat is not None and repeat.narrower_by >= 0.05:
        lines.append(
            bullet(
                f"The most useful repeat is {label(repeat.names[0])}: it would narrow the"
                f" range by {repeat.narrower_by:.1f} points."
            )
        )
    elif repeat is not None:
        lines.append(bullet("Repeating a site would not noticeably narrow the range."))
    whose = "range from this visit's methods" if any(explanation.included) else "range"
    width = explanation.own_width or 0.0
    title = wrap(f"What to measure next (the {whose} is {width:.1f} points wide)")
    return "\n".join([title, *lines])


def _cautions(explanation: Explanation) -> str:
    return "\n".join(["Cautions", *(bullet(caution) for caution in explanation.result.cautions)])
