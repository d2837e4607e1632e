"""What the book of records shows: its clients, one client's visits and their trend, one visit."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.cli.lines import bullet, table, wrap
from foldspan.cli.printed.health import flags_part
from foldspan.quantities import BY_NAME
from foldspan.records.visits import LINES, Correction, KeptVisit
from foldspan.results.change import ChangeResult
from foldspan.results.result import Result
from foldspan.text.change import CAREFUL, course_sentences, fat_sentences
from foldspan.text.en.reconcile import REFERENCE_SENTENCES, SEX_WORDS
from foldspan.text.made_with import made_with
from foldspan.text.measure import not_taken
from foldspan.visit.model import Visit

NO_BOOK_YET = (
    "No records yet: the book begins with the first visit that a client agrees to save. To measure"
    " somebody: foldspan measure. To import visits that you have as files: foldspan records import FILE."
)


def clients_page(clients: Sequence[tuple[str, str, int, str]], waiting: Sequence[str]) -> str:
    """Return the clients of a book, with their number of visits and the last day."""
    lines = _client_rows(clients) if clients else ["No clients in this book yet."]
    if waiting:
        codes = ", ".join(waiting)
        lines.append(wrap(f"Unfinished; continue with foldspan measure --resume: {codes}."))
    return "\n".join(lines)


def _client_rows(clients: Sequence[tuple[str, str, int, str]]) -> list[str]:
    rows, points = [f"{'code':<16}{'visits':>7}  {'last saved':<12}name"], []
    for code, name, count, last in clients:
        shown, visits = code or "(no code yet)", "1 visit" if count == 1 else f"{count} visits"
        rows.append(f"{shown:<16}{count:>7}  {last[:10]:<12}{name}".rstrip())
        parts = filter(None, [visits, f"last saved {last[:10]}", name])
        points.append(f"{shown}: {', '.join(parts)}")
    return table(rows, "Clients", points)


def client_page(
    visits: Sequence[tuple[KeptVisit, Result | None]], change: ChangeResult | None
) -> str:
    """Return a client's visits with their ranges, and what changed from the first to the last."""
    rows, points = [f"{'visit':<7}{'date':<12}{'tester':<10}{'sites':>6}  body fat, 80% range"], []
    for visit, result in visits:
        count, span = _count(visit), _range(visit, result)
        rows.append(f"{visit.number:<7}{visit.day:<12}{visit.tester:<10}{count:>6}  {span}")
        sites = "1 site" if count == 1 else f"{count} sites"
        points.append(
            ", ".join(filter(None, [f"{visit.number}: {visit.day}", visit.tester, sites, span]))
        )
    parts = ["\n".join(table(rows, "Visits, with the 80% range of body fat", points))]
    if any(visit.tree.get("intake", {}).get("eating_concern") for visit, _ in visits):
        parts.insert(0, wrap(CAREFUL))
    named = {_made(visit) for _, visit in visits if visit is not None} - {""}
    parts += [wrap(name) for name in sorted(named)]
    sentences = [] if change is None else fat_sentences(change)
    if change is not None and sentences:
        sentences[0] = f"From the first to the last visit: {sentences[0]}"
        sentences += course_sentences(change)
        parts.append("\n".join(["Trend", *map(bullet, sentences)]))
    return "\n\n".join(parts)


def _count(visit: KeptVisit) -> int:
    return sum(
        len(visit.tree.get(name, {})) for name in ("skinfolds_mm", "girths_cm", "breadths_cm")
    )


def _range(visit: KeptVisit, result: Result | None) -> str:
    if not visit.has_ended:
        return "unfinished"
    if result is not None and result.by_sex:
        either = [f"{_span(answer)} ({SEX_WORDS[sex]})" for sex, answer in result.by_sex]
        return ", ".join(either)
    return "no range" if result is None else _span(result)


def _made(result: Result) -> str:
    """On which scale a range stands, and what it was made with; "" without one."""
    if not (result.has_range or result.by_sex):
        return ""
    return f"{REFERENCE_SENTENCES[result.reference_method]} {made_with(result)}".strip()


def _span(result: Result) -> str:
    if result.fat_percent.range_80 is None:
        return "no range"
    low, high = result.fat_percent.range_80
    return f"{low:.1f}% to {high:.1f}%"


def visit_page(kept: KeptVisit, visit: Visit, result: Result) -> str:
    """Return one visit: what was read, what could not be taken, notes, corrections, the range."""
    title = f"Visit {kept.number} of {kept.code}, {kept.day}"
    rows, points = [title], []
    for name, site in visit.sites.items():
        accepted = visit.accepted[name]
        read = ", ".join(f"{value:g}" for value in site.readings)
        ended = "+" if site.is_at_least else ""
        unsteady = ", readings disagree" if accepted.is_unsteady else ""
        unit = BY_NAME[name].unit
        label, readings = BY_NAME[name].label, f"({read}{ended}{unsteady})"
        rows.append(f"  {label:<34}{accepted.value:>7.1f} {unit:<3} {readings}")
        points.append(f"{label}: {accepted.value:.1f} {unit} {readings}")
    parts = ["\n".join(table(rows, title, points))]
    for title, lines in (
        ("Not measured", not_taken(kept.state.known.answers) if kept.state else []),
        ("Notes", [f"at {key}: {text}" for key, text in kept.state.notes] if kept.state else []),
        ("Corrections", [_correction(each) for each in kept.corrections]),
    ):
        if lines:
            parts.append("\n".join([title, *map(bullet, lines)]))
    parts.append(wrap(f"Body fat (80% range): {_range(kept, result)}"))
    if _made(result):
        parts.append(wrap(_made(result)))
    if result.health.flags:
        parts.append(flags_part(result.health, with_intake=False))
    if visit.intake.has_eating_concern:
        parts.insert(0, wrap(CAREFUL))
    return "\n\n".join(parts)


def _correction(correction: Correction) -> str:
    what = (
        correction.name
        if correction.name in LINES
        else f"{BY_NAME[correction.name].label}, reading {correction.turn}"
    )
    done = "removed" if correction.value is None else f"changed to {correction.value}"
    return f"{correction.at[:10]}: {what} {done} by {correction.who}: {correction.why}"
