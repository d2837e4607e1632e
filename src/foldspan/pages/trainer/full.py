"""What the trainer's page holds in full only: every equation, and where the uncertainty comes from."""

from __future__ import annotations

from collections import Counter

from foldspan.display_units import signed
from foldspan.explanation.decomposition import turned
from foldspan.pages.document import Bullets, Heading, Part, Table
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import budget_picture, equations_picture, narrowing_picture
from foldspan.text.en.reconcile import FAMILY_NAMES, LEFT_OUT_WORDS, capital
from foldspan.text.explain import pair_form, reason_words


def in_full(material: Material) -> list[Part]:
    """Return the uncertainty, what would narrow it, and every equation, used or left out."""
    say = material.language.say
    narrowing = narrowing_picture(material)
    pair = _pair(material)
    parts: list[Part] = [Heading(say("staff.why"), starts_sheet=True), *pair] if pair else []
    parts += [Heading(say("staff.budget"), starts_sheet=not pair), budget_picture(material)]
    parts += [] if narrowing is None else [Heading(say("staff.next")), narrowing]
    return [*parts, *_equations(material)]


def _pair(material: Material) -> list[Part]:
    """The two methods furthest apart, taken apart: the parts add up to their difference."""
    say, headline = material.language.say, material.explanation.headline
    if headline is None:
        return []
    pair = turned(headline)
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
    rows = [
        (capital(reason_words(reason, material.units)), signed(reason.points, 1))
        for reason in pair.reasons
    ]
    rows.append((capital(say("staff.unexplained")), signed(pair.unexplained, 1)))
    title = say(
        "staff.pair", high=capital(high), low=low, points=signed(pair.difference, 1),
        form=pair_form(pair), on_reference_method=signed(pair.on_reference_method, 1),
    )  # fmt: skip
    header = (say("staff.reason"), say("staff.points"))
    return [Table(title, header, tuple(rows), (1,))]


def _equations(material: Material) -> list[Part]:
    """Every equation in use with its source, then how many were left out and why."""
    say, listed = material.language.say, material.result.equations
    rows = [
        (equation.key, f"{equation.estimate:.1f}", f"{equation.se:.1f}", equation.reference_method)
        for equation in listed
        if equation.used and equation.estimate is not None and equation.se is not None
    ]
    why = Counter(code for equation in listed for code in equation.left_out_because)
    header = ("key", "percent", "se", "reference_method")
    table = Table("", tuple(say(f"staff.{name}") for name in header), tuple(rows), (1, 2))
    left = [
        say("staff.left_line", count=count, why=LEFT_OUT_WORDS[code])
        for code, count in why.most_common()
    ]
    return [
        Heading(say("staff.equations")), table, equations_picture(material),
        Heading(say("staff.left_out")), Bullets(tuple(left)),
    ]  # fmt: skip
