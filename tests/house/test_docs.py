"""The pages tell what the program does: transcripts, lists of codes and the catalogue are current."""

from __future__ import annotations

import os
import re
import subprocess
import tempfile
from functools import cache
from pathlib import Path

import pandas as pd
import pytest

import foldspan
from foldspan.cli import app
from foldspan.cli.doc_pages import health_tables
from foldspan.cli.doc_pages.catalogue import page
from foldspan.estimation.applicability import Fit
from foldspan.estimation.default_cards import REASONS
from foldspan.estimation.error_model import BLOCKS
from foldspan.estimation.on_request import ON_REQUEST
from foldspan.explanation.findings import FINDING_CODES
from foldspan.external.combine import REMARKS
from foldspan.intake.from_tree import INTAKE_KEYS
from foldspan.interpretation.classification import COIN_TOSS
from foldspan.problems import CODES
from foldspan.protocol.outside_methods import OUTSIDE_METHODS
from foldspan.quantities import QUANTITIES
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.standards.referral_rules import (
    LOW_FAT_AT,
    RAISED_AT,
    REFUSALS,
    RULES,
    SURE_AT,
)
from foldspan.standards.sources import HEALTH_SOURCES
from foldspan.tables.columns import INTAKE_COLUMNS
from foldspan.text.explain import REASON_WORDS
from program_starts import run_to_its_end

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
# "transcript: foldspan …" shows all that the command prints; "transcript, parts 2 to 4: foldspan …" only
# these parts of it, counted by the blank lines between them
TRANSCRIPT = re.compile(
    r"(?<=<!-- transcript)(?:, parts? (?P<first>\d+)(?: to (?P<last>\d+))?)?"
    r": foldspan (?P<arguments>.*?) -->\n"
    r"```text\n(?P<printed>.*?)\n```",
    re.DOTALL,
)
PICTURE = re.compile(r"!\[.{40,}?\]\((docs/.*?)\)")  # with words for those who cannot see it


def doc(name: str) -> str:
    return (ROOT / "docs" / name).read_text(encoding="utf-8")


def first_column(text: str) -> set[str]:
    return set(re.findall(r"^\| ([A-Za-z0-9_]+) \|", text, re.MULTILINE))


def test_readme_opens_with_the_job_and_two_commands() -> None:
    paragraphs = [part for part in README.split("\n\n") if part.strip()]
    assert paragraphs[0] == "# foldspan"
    assert all(word in paragraphs[1] for word in ("trainer", "screener", "client", "range"))
    assert PICTURE.search(README)
    commands = re.findall(r"^python3 -m venv .*$", README, re.MULTILINE)
    assert len(commands) == 2
    assert "examples/visit.toml" in commands[0]
    assert commands[1].endswith("pytest")


@cache
def printed_by(arguments: str, *, from_nothing: bool = False) -> str:
    """What a command prints that is run where only the examples are; files it writes go with it."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "examples").symlink_to(ROOT / "examples")
        ran = run_to_its_end(
            arguments.split(),
            folder=Path(folder),
            environment=os.environ,
            from_nothing=from_nothing,
        )
    assert ran.returncode in (0, 3), ran.stderr
    return ran.stdout


def shown_of(printed: str, found: re.Match[str]) -> str:
    """Those parts of what a command prints that its transcript shows."""
    printed = printed.rstrip("\n")
    if found["first"] is None:
        return printed
    first = int(found["first"])
    return "\n\n".join(printed.split("\n\n")[first - 1 : int(found["last"] or first)])


@pytest.mark.parametrize(
    "found",
    [found for page in PAGES for found in TRANSCRIPT.finditer(page.read_text(encoding="utf-8"))],
    ids=lambda found: found["arguments"],
)
def test_transcript_is_what_the_command_prints(found: re.Match[str]) -> None:
    is_in_readme = found[0] in README
    printed = printed_by(found["arguments"], from_nothing=is_in_readme)
    assert shown_of(printed, found) == found["printed"]


def test_every_reason_of_a_pair_is_explained() -> None:
    text = doc("explain.md")
    assert [code for code in REASON_WORDS if code not in text] == []


def test_every_outside_method_is_listed_with_its_error() -> None:
    text = doc("explain.md")
    for method in OUTSIDE_METHODS:
        assert re.search(rf"^\| `{method.key}` \|.*\| {method.error}", text, re.MULTILINE), (
            method.key
        )


def test_readme_shows_what_the_main_job_prints_in_a_few_lines() -> None:
    (shown,) = TRANSCRIPT.finditer(README)
    assert shown["arguments"] == "reconcile examples/visit.toml"
    assert 8 <= len([line for line in shown["printed"].splitlines() if line]) <= 16


def test_readme_is_read_in_three_minutes_in_the_order_of_need() -> None:
    """Adults read about 240 words a minute (Brysbaert 2019: 238, not verified in print)."""
    prose = re.sub(r"```.*?```|<!--.*?-->|\]\(.*?\)", " ", README, flags=re.DOTALL)
    assert len(re.findall(r"\w[\w'.-]*", prose)) <= 3 * 240
    order = ("foldspan measure", "docs/visit-file.md", "foldspan screen", "import foldspan")
    places = [README.index(word) for word in order]
    assert places == sorted(places)


def test_a_year_of_a_survey_or_a_bmi_is_no_age() -> None:
    wrong = re.compile(r"\baged\s+(?:(?:19|20)\d\d|\d+\.\d|30 to 35\))")
    found = {page.name: wrong.findall(page.read_text(encoding="utf-8")) for page in PAGES}
    assert {name: said for name, said in found.items() if said} == {}


def test_catalogue_page_is_made_from_the_cards() -> None:
    assert doc("catalogue.md") == page()


def test_every_column_of_a_table_is_explained_and_no_other() -> None:
    frame = pd.DataFrame(
        {"sex": ["male"], "age_years": [40], "weight_kg": [80], "height_cm": [180]}
    )
    part = doc("python.md").split("| column | contains |")[1].split("\n\n")[0]
    named = [
        name for row in re.findall(r"^\| (`.*?) \|", part, re.MULTILINE) for name in row.split(", ")
    ]
    assert [name.strip("`") for name in named] == list(foldspan.reconcile_table(frame).columns)


def test_the_health_tables_are_made_from_the_data() -> None:
    assert doc("health-tables.md") == health_tables.page()
    assert f"]({health_tables.PICTURE})" in doc("health.md")
    assert (ROOT / "docs" / health_tables.PICTURE).stat().st_size > 10_000


def test_every_standard_rule_and_word_stands_in_the_health_tables() -> None:
    text = doc("health-tables.md")
    named = [f"| {rule.code} |" for rule in RULES] + [
        f"| {standard.key} |" for standard in ALL_STANDARDS
    ]
    named += [f"| {word} |" for word in ALL_WORDS]
    assert [name for name in named if name not in text] == []
    sources = {rule.source for rule in (*RULES, *REFUSALS, *ALL_STANDARDS)}
    assert sources <= {source.key for source in HEALTH_SOURCES}
    assert all(f"**{source.key}**" in text for source in HEALTH_SOURCES)


def test_the_guide_to_health_is_short_and_tells_the_shares_that_count() -> None:
    text = doc("health.md")
    assert [key for key in (*INTAKE_KEYS, *INTAKE_COLUMNS) if key not in text] == []
    flat = " ".join(text.split())
    assert len(flat.split()) < 1200
    for share, said in (
        (COIN_TOSS, "has less than {:.0f}%"), (RAISED_AT, "is at least {:.0f}%"),
        (LOW_FAT_AT, "For low body fat {:.0f}%"),
        (SURE_AT, "Below {:.0f}% the flag is called borderline"),
    ):  # fmt: skip
        assert said.format(100 * share) in flat


def test_every_problem_code_is_explained_and_no_other() -> None:
    assert first_column(doc("problem-codes.md")) - {"code"} == set(CODES)


def test_every_finding_and_flag_of_an_equation_is_explained() -> None:
    listed = first_column(doc("findings.md")) - {"finding", "code"}
    flags = {str(flag.name).lower() for flag in Fit}
    assert listed == set(FINDING_CODES) | flags | set(REMARKS) | {ON_REQUEST, *REASONS}


def test_every_block_of_the_budget_is_explained() -> None:
    assert set(BLOCKS) | {"disagreement"} <= first_column(doc("method.md"))


def test_every_command_stands_in_the_readme_and_has_an_example() -> None:
    for command in app.registered_commands:
        assert f"foldspan {command.name}" in README
        assert command.callback is not None
        assert "Example: foldspan" in (command.callback.__doc__ or "")


def test_every_quantity_stands_on_the_visit_page() -> None:
    text = doc("visit-file.md")
    missing = [
        quantity.name
        for quantity in QUANTITIES
        if quantity.name not in text and f"`{quantity.short_name}`" not in text
    ]
    assert missing == []


CANNOT_OPEN = re.compile(
    r"from memory|the evidence\b|[(]evidence|before this project|dossier", re.I
)


def test_nothing_rests_on_what_a_reader_cannot_open() -> None:
    """A source that is printed, or: not verified in print, common practice, our proposal."""
    texts = [*(ROOT / "src").rglob("*.py"), *(ROOT / "tests").rglob("*.py"), *PAGES]
    found = [
        f"{path.relative_to(ROOT)}: {line.strip()}"
        for path in texts
        if path.name not in ("CHANGELOG.md", Path(__file__).name)
        for line in path.read_text(encoding="utf-8").splitlines()
        if CANNOT_OPEN.search(line)
    ]
    assert found == []


def anchors(path: Path) -> set[str]:
    """What can be jumped to on a page: its headings, as they are written in a link, and marks."""
    text = path.read_text(encoding="utf-8")
    heads = re.findall(r"^#+ (.*)$", re.sub(r"```.*?```", "", text, flags=re.DOTALL), re.MULTILINE)
    words = (re.sub(r"[^\w\s-]", "", head.lower()).replace(" ", "-") for head in heads)
    return {*words, *re.findall(r'<a id="(\w+)">', text)}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_link_leads_somewhere(page: Path) -> None:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    for link in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" not in link:
            file, _, anchor = link.partition("#")
            path = (page.parent / file).resolve() if file else page
            assert path.exists(), link
            assert not anchor or anchor in anchors(path), link


def test_top_level_holds_only_what_was_agreed() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
    folders = {"src", "tests", "examples", "docs"}
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split()
    top = {name.split("/")[0] for name in listed}
    assert {name for name in top if not name.startswith(".")} <= allowed | folders
