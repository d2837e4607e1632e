"""What a measuring session shows: plans, landmarks, the running view, and the results on the spot."""

from __future__ import annotations

from foldspan.cli.lines import beside, bullet, wrap
from foldspan.cli.printed.health import flags_part
from foldspan.cli.printed.reconcile import families_part, no_range_parts
from foldspan.display_units import UNITS, whole_ends
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.plan_widths import ADAPTIVE_MINUTES, PLAN_WIDTHS
from foldspan.protocol.plans import ADAPTIVE, PLANS, minutes_of
from foldspan.quantities import BY_NAME
from foldspan.results.result import Result, Spread
from foldspan.session.answers import Known, Prompt, is_narrow, sexes_of, wants_third
from foldspan.session.parse_client_answers import readable_word
from foldspan.session.parse_input import reasons_at
from foldspan.session.sites import (
    chooses,
    guide_of,
    left_out,
    planned,
    sites_of_plan,
    unlike_variants,
)
from foldspan.session.state import State
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.change import FAT_MEANING, LEAN_MEANING
from foldspan.text.en.reconcile import REFERENCE_SENTENCES, capital
from foldspan.text.made_with import made_with
from foldspan.text.measure import (
    BACKGROUND_HELP,
    CANNOT_WORDS,
    HELP,
    LEFT_OUT,
    bared_words,
    list_words,
    repeats_sentence,
)
from foldspan.text.next_site import AND_THEN, PLANNED
from foldspan.text.questions import page_lines

# findings that can still be mended while the client stands there
ON_THE_SPOT = (
    "third_reading_missing", "unsteady_reading", "scale_end", "over_clothing", "left_side",
    "slip",
)  # fmt: skip


WIDTHS = (
    "Each line shows the minutes it takes and the expected width of the 80% range for a"
    " person of average build, in percentage points of body fat. You can add or remove sites:"
    " three + calf girth - waist."
)
EXPECTED = (
    "For a person of average build, the 80% range would be about {width:.1f} percentage"
    " points wide."
)


def plan_lines(known: Known) -> list[str]:
    """Return every plan with its minutes, the width of its range and what has to be bared.

    Where it is left open whose equations fit, the width is the larger of the two.
    """
    sexes = sexes_of(known)
    lines = [wrap(WIDTHS)]
    for order, plan in enumerate(PLANS, start=1):
        sites = sites_of_plan(known, plan.key)
        width = max(PLAN_WIDTHS[plan.key, sex] for sex in sexes)
        time = f"{minutes_of(sites):.0f}"
        clothing = bared_words(sites)
        if plan.key == ADAPTIVE:
            time, clothing = "{} to {}".format(*ADAPTIVE_MINUTES), f"{clothing}{AND_THEN}"
        cost = f"{time} min, {width:.1f} points"
        what = f"{cost}: {plan.what}. Clothing: {clothing}."
        lines.append(beside(f"{order} {plan.key:<8} ", what))
    return lines


def numbered_lines(prompt: Prompt, known: Known, language: Language = ENGLISH) -> list[str]:
    """Return the lines of a page, each with the number or word by which it is answered."""
    lines = page_lines(prompt, known, language)
    wide = max(len(word) for word, _ in lines)
    heads = [
        f"{place:>2} {word:<{wide}}  " if prompt.kind != "sites" else f"{word:<{wide}}  "
        for place, (word, _) in enumerate(lines, start=1)
    ]
    return [beside(head, text) for head, (_, text) in zip(heads, lines, strict=True)]


def planned_lines(state: State) -> list[str]:
    """Return the sites of the session, the minutes, what has to be bared, and what was left out."""
    known = state.known
    sites = planned(known)
    names = "; ".join(BY_NAME[name].label for name in sites)
    # what is taken over a layer is not bared
    is_bare = known.get("consent.uncover") is not False
    bared = tuple(name for name in sites if is_bare or name not in CORRECTED)
    lines = [
        wrap(f"To measure: {names}."),
        wrap(
            f"About {minutes_of(sites):.0f} minutes. Clothing: {bared_words(bared, is_moved=is_bare)}."
        ),
    ]
    if chooses(known):
        low, high = ADAPTIVE_MINUTES
        lines.append(wrap(PLANNED.format(low=low, high=high)))
    elif width := _width_to_expect(known, sites):
        lines.append(wrap(EXPECTED.format(width=width)))
    if repeats := repeats_sentence(known, sites):
        lines.append(wrap(repeats))
    covered = [name for name in sites if name in CORRECTED]
    if known.get("consent.uncover") is False and covered:
        layer = "; ".join(BY_NAME[name].label for name in covered)
        lines.append(wrap(f"To measure over one thin layer: {layer}."))
    for name, variants in unlike_variants(known).items():
        taken = guide_of(known, name).variant
        lines.append(
            wrap(
                f"The chosen equations use different versions of the {BY_NAME[name].label}"
                f" ({', '.join(variants)}). Measure {taken}; the others get a larger error."
            )
        )
    for code, gone in left_out(known).items():
        what = "; ".join(BY_NAME[name].label for name in gone)
        lines.append(wrap(f"Left out ({LEFT_OUT[code]}): {what}."))
    return lines


def _width_to_expect(known: Known, sites: tuple[str, ...]) -> float | None:
    """Width of the range that the sites may be expected to give, None where there will be none."""
    if is_narrow(known) or any(key.startswith("go_on.E") for key in known.answers):
        return None
    from foldspan.api.plan import expected_width

    widths = [expected_width(sites, sex) for sex in sexes_of(known)]
    return max((width for width in widths if width is not None), default=None)


def where_lines(state: State, *, hides: bool) -> list[str]:
    """Return what is done and what comes next; readings only where they are not hidden."""
    known, prompt = state.known, state.prompt
    lines = []
    for name in planned(known):
        done = [_done(known, turn, name, hides=hides) for turn in (1, 2, 3)]
        taken_so_far = ", ".join(text for text in done if text) or "not yet measured"
        third = " (third reading needed)" if wants_third(known, name) and not done[2] else ""
        mark = ">" if prompt.quantity == name else " "
        lines.append(beside(f"{mark} {BY_NAME[name].label:<36} ", f"{taken_so_far}{third}"))
    lines += [wrap(f"note at {key}: {text}", "  ", "    ") for key, text in state.notes]
    return lines or ["Nothing has been measured yet."]


def _done(known: Known, turn: int, name: str, *, hides: bool) -> str:
    answer = known.get(f"{turn}.{name}")
    if not isinstance(answer, dict):
        return ""
    if "cannot" in answer:
        return CANNOT_WORDS[answer["cannot"]] if answer["cannot"] != "other" else "not taken"
    return ("first", "second", "third")[turn - 1] if hides else str(answer["typed"])


def help_lines(prompt: Prompt) -> list[str]:
    """Return what can be typed here."""
    lines = [beside(f"  {typed:<15} ", what) for typed, what in HELP]
    if prompt.kind == "choice":
        lines = [wrap(f"One of: {', '.join(prompt.words)}."), *lines]
    if prompt.kind == "background":
        lines = [
            wrap(BACKGROUND_HELP.format(words=", ".join(BACKGROUNDS).replace("_", " "))),
            *lines,
        ]
    if prompt.kind == "words":
        words = list_words(prompt.key)
        lines = [beside(f"  {readable_word(word):<22} ", what) for word, what in words.items()]
    return lines


def reasons_lines(prompt: Prompt) -> list[str]:
    """Return why a site may not be taken."""
    codes = reasons_at(prompt.quantity) if prompt.quantity else CANNOT_WORDS
    return [beside(f"  cannot {code:<9} ", CANNOT_WORDS[code]) for code in codes]


def results_page(
    result: Result, units: str, explain_by: str = "", *, aloud: str = "", since: str = ""
) -> str:
    """Return the results on the spot; the range and the masses come last, where the eye is.

    ``explain_by`` is the command that explains a disagreement, "" where nothing was kept to explain;
    ``aloud`` what can be said to the client about each disagreement, ``since`` what changed since the
    last visit.
    """
    fat = result.fat_percent
    now = ON_THE_SPOT if result.verdict in ("agree", "single") else (*ON_THE_SPOT, "families_apart")
    notes = [finding.text for finding in result.findings if finding.code in now]
    parts = []
    if result.cautions:
        parts.append("\n".join(["Cautions", *map(bullet, result.cautions)]))
    if notes:
        parts.append("\n".join(["Check now", *map(bullet, notes)]))
    if result.health.flags:
        parts.append(flags_part(result.health, with_intake=False))
    if fat.range_80 is None or fat.estimate is None:
        parts += no_range_parts(result)[:1] if result.by_sex else []
        # a session has no lines of a file to name
        sentences = [
            f"{capital(problem.what)}. {problem.remedy} [{problem.code}]"
            for problem in result.problems
        ]
        return "\n\n".join([*parts, *map(wrap, sentences)])
    parts.append(families_part(result))
    if result.verdict == "disagree":
        why = f" To see why, run: {explain_by}" if explain_by else ""
        parts.append(wrap(f"The methods disagree.{why}"))
    parts += [text for text in (aloud, since) if text]
    parts.append(wrap(f"{FAT_MEANING} {LEAN_MEANING}"))
    low, high = whole_ends(fat.range_80)
    lines = [
        beside(
            f"{'Body fat':<14}",
            f"{low}% to {high}% (80% range), best single estimate about {fat.estimate:.0f}%",
        ),
        *_mass_lines(result, units),
        wrap(REFERENCE_SENTENCES[result.reference_method]),
    ]
    lines += [wrap(made_with(result))] if made_with(result) else []
    return "\n\n".join([*parts, "\n".join(lines)])


def _mass_lines(result: Result, units: str) -> list[str]:
    per, unit = UNITS[units].per_mass, UNITS[units].mass
    lines = []
    for name, mass in (
        ("Fat mass", result.fat_mass_kg),
        ("Fat-free mass", result.fat_free_mass_kg),
    ):
        if isinstance(mass, Spread) and mass.range_80 is not None:
            low, high = whole_ends((mass.range_80[0] / per, mass.range_80[1] / per))
            span = f"{low} to {high} {unit} (80% range)"
            lines.append(beside(f"{name:<14}", span))
    return lines
