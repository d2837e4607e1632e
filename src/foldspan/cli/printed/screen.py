"""The summary of a screened table as text, 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping

from foldspan.catalogue.card import ReferenceMethod
from foldspan.cli.lines import bullet, width
from foldspan.screening.referrals import REFERRING
from foldspan.screening.summary import Screening, Share
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.bands import systems
from foldspan.text.en.flags import LEVEL_MEANING, LEVEL_WORDS
from foldspan.text.en.health import BAND_WORDS
from foldspan.text.made_with import made_with
from foldspan.text.screen import (
    CHECK_SIZE,
    LOOK_FIRST,
    MEASURE_TITLES,
    SCREENING,
    UNREAD,
    WHY_NO_RANGE,
    problem_in_short,
)
from foldspan.text.tables.guessing import what_to_call
from foldspan.text.tables.sheets import rows_words

# columns of the numbers beside a line of words, and of a line of two shares
NUMBERS, SHARES = 22, 70
MOST_PROBLEMS = 20


def page(screening: Screening, out: str, referrals: str) -> str:
    """Return the summary: rows, whom to refer, verdicts, bands, flags, what stands out."""
    parts = [
        _look_first(screening),
        _rows(screening),
        _referred(screening, referrals),
        _unread(screening),
        _changes(screening),
        _verdicts(screening),
        _bands(screening),
        _flags(screening),
        _problems(screening),
        _quality(screening),
        _end(out, referrals),
    ]
    return "\n\n".join(part for part in parts if part)


def _count(rows: int, of: int) -> str:
    return f"{rows:>10,}{_percent(rows, of):>8}"


def _percent(rows: int, of: int) -> str:
    share = 100.0 * rows / max(of, 1)
    return "" if not rows else ("< 0.1%" if share < 0.05 else f"{share:.1f}%")


def _wrapped(text: str, first: str = "  - ") -> str:
    return textwrap.fill(
        text, width(), initial_indent=first, subsequent_indent=" " * len(first),
        break_long_words=False,
    )  # fmt: skip


def _table(title: str, lines: list[tuple[str, int]], of: int) -> str:
    return _counted(title, [(words, rows, of) for words, rows in lines])


def _counted(title: str, lines: list[tuple[str, int, int]]) -> str:
    """Lines of words, a number of rows, and of how many."""
    found = [title]
    for words, rows, of in lines:
        *before, last = textwrap.wrap(words, width() - NUMBERS) or [""]
        found += [f"  {line}" for line in before]
        found.append(f"  {last:<{width() - NUMBERS}}{_count(rows, of)}")
    return "\n".join(found)


def _rows(screening: Screening) -> str:
    lines = [("with a range", screening.with_range)]
    lines += [(f"no range: {WHY_NO_RANGE[key]}", n) for key, n in screening.without_range.items()]
    counts = _table(rows_words(screening.rows), lines, screening.rows)
    named = made_with(screening)
    return f"{counts}\n{_wrapped(named, '')}" if named else counts


def _look_first(screening: Screening) -> str:
    lines = [*screening.look_first, *([screening.held_back] if screening.held_back else [])]
    return "\n".join([LOOK_FIRST, *map(_wrapped, lines)]) if lines else ""


def _referred(screening: Screening, referrals: str) -> str:
    if not screening.referred:
        nobody = "To refer to a clinician: nobody meets the rules for referral."
        sentence = screening.not_asked_sentence
        return "\n".join([nobody, *([_wrapped(sentence, "  ")] if sentence else [])])
    lines = [
        (f"{LEVEL_WORDS[level]}: {LEVEL_MEANING[level]}", screening.levels[level])
        for level in REFERRING
        if screening.levels[level]
    ]
    where = f"; full list with reasons and sources: {referrals}" if referrals else ""
    title = _wrapped(f"To refer to a clinician: {rows_words(screening.referred)}{where}", "")
    first = _wrapped("Most urgent first (row 1 is the first below the column names):", "  ")
    text = [_table(title, lines, screening.rows), first, *_first(screening)]
    if screening.referred > len(screening.first_referred):
        text.append(f"  and {screening.referred - len(screening.first_referred):,} more.")
    if not referrals:
        all_of_them = "--referrals FILE writes the full list, with sources and what to do for each."
        text.append(_wrapped(all_of_them, "  "))
    if screening.unit_first:
        text.append(_wrapped(screening.unit_first, "  "))
    if screening.not_asked_sentence:
        text.append(_wrapped(screening.not_asked_sentence, "  "))
    return "\n".join(text)


def _unread(screening: Screening) -> str:
    rows, kinds = screening.unread
    lines = [_wrapped(f"Not read: {part}", "") for part in screening.unreadable_parts]
    if screening.unused:
        names = ", ".join(screening.unused)
        lines.append(_wrapped(f"Not used (unknown names): {names}.", ""))
        lines += map(_wrapped, what_to_call(screening.unused))
    if not rows:
        return "\n".join(lines)
    kinds_shown = ", ".join(f"{key} ({number:,})" for key, number in kinds.items())
    them = "it" if rows == 1 else "them"
    more = ", …" if rows > len(screening.unread_rows) else ""
    which = f" ({', '.join(f'{row:,}' for row in screening.unread_rows)}{more})"
    words = UNREAD.format(
        rows=rows_words(rows),
        which=which if screening.unread_rows else "",
        them=them,
        kinds=kinds_shown,
    )
    return "\n".join([_wrapped(words, ""), *lines])


def _first(screening: Screening) -> list[str]:
    lines = []
    for row in screening.first_referred:
        who = f" ({row.code})" if row.code else ""
        part = f"{row.part}, " if row.part else ""
        # nothing may hold up what cannot wait
        is_doubtful = row.in_doubt and row.level != REFERRING[0]
        unit = re.search(r"looks like \w+", row.in_doubt)
        what = f"weight {unit[0]}" if unit and "weight_kg" in row.in_doubt else "values in doubt"
        doubt = f" Check first: {what}." if is_doubtful else ""
        doubt += f" {CHECK_SIZE}" if "[E127]" in row.in_doubt else ""
        doubt += " Borderline: measure again." if row.borderline else ""
        lines.append(_wrapped(f"{part}row {row.row}{who}: {row.reasons}{doubt}"))
    return lines


def _changes(screening: Screening) -> str:
    """What changed since the earlier table."""
    if screening.change is None:
        return ""
    parts: dict[str, list[tuple[str, int, int]]] = {}
    for title, words, rows, of in screening.change.lines(screening.rows):
        parts.setdefault(title, []).append((words, rows, of))
    tables = [_counted(_wrapped(title, ""), lines) for title, lines in parts.items()]
    return "\n\n".join([*tables, *(_wrapped(words, "") for words in screening.change.checks)])


def _verdicts(screening: Screening) -> str:
    lines = [(word, rows) for word, rows in screening.verdicts.items() if rows]
    return _table("Methods", lines, screening.with_range) if lines else ""


def _bands(screening: Screening) -> str:
    parts = []
    reference_method: ReferenceMethod = "dxa" if screening.reference_method == "dxa" else "density"
    for measure, sexes in screening.bands.items():
        standards = " and ".join(systems(measure, reference_method))
        title = f"{MEASURE_TITLES[measure]}: expected share in each category ({standards})"
        names = list(sexes)
        if width() < SHARES:
            parts.append("\n".join([_wrapped(title, ""), *_shares_listed(sexes)]))
            continue
        lines = [_wrapped(title, ""), f"{'':<46}" + "".join(f"{sex:>12}" for sex in names)]
        for label in next(iter(sexes.values())):
            shares = [sexes[sex][label] for sex in names]
            lines.append(f"  {BAND_WORDS[label]:<44}" + "".join(map(_band_share, shares)))
        parts.append("\n".join(lines))
    return "\n\n".join(parts)


def _shares_listed(sexes: Mapping[str, Mapping[str, Share]]) -> list[str]:
    """The shares of each band as points of a list."""
    return [
        bullet(
            f"{BAND_WORDS[label]}: "
            + ", ".join(
                f"{sex} {_band_share(bands[label]).strip()}" for sex, bands in sexes.items()
            )
        )
        for label in next(iter(sexes.values()))
    ]


def _band_share(share: Share) -> str:
    return f"{100.0 * share.share:>11.1f}%"


def _flags(screening: Screening) -> str:
    parts = []
    for level, flags in screening.flags.items():
        if flags:
            lines = [(f"{RULE_BY_CODE[code].when} ({code})", rows) for code, rows in flags.items()]
            parts.append(_table(f"Flags: {LEVEL_WORDS[level]}", lines, screening.rows))  # type: ignore[index]
    return "\n\n".join(parts)


def _problems(screening: Screening) -> str:
    lines = [(problem_in_short(key), rows) for key, rows in screening.problems.items()]
    if not lines:
        return ""
    text = _table("Problems in cells, by code and column", lines[:MOST_PROBLEMS], screening.rows)
    more = len(lines) - MOST_PROBLEMS
    return f"{text}\n  and {more} more kinds; --json lists all." if more > 0 else text


def _quality(screening: Screening) -> str:
    found = [finding for finding in screening.quality if finding not in screening.look_first]
    return "\n".join(["Data quality", *map(_wrapped, found)]) if found else ""


def _end(out: str, referrals: str) -> str:
    lines = [] if out == "-" else [_wrapped(f"Results written to {out}.", "")]
    return "\n".join([*lines, _wrapped(SCREENING, "")])
