"""The letter to a clinician: one page, what is asked and how soon, each finding once, sources below."""

from __future__ import annotations

import io
import random
import re
from collections.abc import Iterator
from typing import Any

import pypdf
import pytest

import foldspan
from foldspan.export.report import Report
from foldspan.pages.document import AnswerLines, Bullets, FillIn, Notice, Part, Signature
from foldspan.quantities import BY_NAME
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.standards.sources import HEALTH_SOURCE_BY_KEY
from page_reading import STEMS, page, pdf_of, read_html, squeezed, visit

PRACTICE = foldspan.Practice(
    name="Riverside Strength Studio",
    address="4 Mill Lane, Exampleton EX4 3PL",
    telephone="+44 1632 960123",
    letterhead="Measurements by appointment",
    logo=b'<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><path d="M1 1h9v9z"/></svg>',
)
FLAGGED = ("told_at_intake", "careful_words")
# words that name an illness: a letter tells findings
ILLNESSES = r"anorexi|bulimi|hypertensi|obes|sarcopeni|malnutrition|cancer|heart attack|cirrhosis"


def parts_of(report: Report, kind: type) -> list[Any]:
    return [part for part in report.document.parts if isinstance(part, kind)]


def said(report: Report) -> str:
    return " ".join(read_html(report).words)


def without_notes(report: Report) -> str:
    """The letter without its small print."""
    text, answer, _ = said(report).partition("Your answer:")
    assert answer
    return text


# ---- one page


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("stem", STEMS)
def test_the_letter_of_every_example_is_one_page(stem: str, paper: str) -> None:
    made = page(stem, "clinician").material.visit
    report = foldspan.report(made, reader="clinician", paper=paper, practice=PRACTICE)
    assert len(pdf_of(report).pages) == 1


def random_visits(count: int) -> Iterator[foldspan.Visit]:
    """Visits with whatever sites and answers, of people from 18 to 95."""
    dice = random.Random(20)
    sections = {"mass": "mass_height", "height": "mass_height", "skinfold": "skinfolds_mm",
                "girth": "girths_cm", "breadth": "breadths_cm"}  # fmt: skip
    while count:
        sex = dice.choice(["female", "male"])
        tree: dict[str, Any] = {
            "client": {"sex": sex, "age_years": dice.randint(18, 95), "code": "K-301"},
            "visit": {"date": "2026-04-08", "tester": "T-04"},
        }
        for name in dice.sample(list(BY_NAME), dice.randint(2, 24)):
            quantity = BY_NAME[name]
            if quantity.kind in sections:
                low, high = quantity.plausible(sex)
                value = round(dice.uniform(low, high), 1)
                tree.setdefault(sections[quantity.kind], {})[quantity.short_name] = value
        tree["intake"] = {
            "symptoms": dice.sample(sorted(SYMPTOMS), dice.randint(0, 3)),
            "conditions": dice.sample(sorted(CONDITIONS), dice.randint(0, 3)),
            "medicines": dice.sample(sorted(MEDICINES), dice.randint(0, 2)),
            "blood_pressure_mmhg": [dice.randint(100, 190), dice.randint(60, 99)],
            "eating_concern": dice.random() < 0.3,
        }
        try:
            yield foldspan.Visit.from_dict(tree, accept_unusual=True)
        except foldspan.FoldspanError:
            continue  # what contradicts itself is refused
        count -= 1


def test_the_letters_of_random_visits_are_one_page() -> None:
    papers = ("a4", "letter")
    flags = []
    for place, drawn in enumerate(random_visits(24)):
        practice = PRACTICE if place % 3 else None
        report = foldspan.report(
            drawn, reader="clinician", paper=papers[place % 2], practice=practice
        )
        assert len(pypdf.PdfReader(io.BytesIO(report.pdf())).pages) == 1
        flags.append(len(report.material.flags))
    assert max(flags) >= 8  # long ones are among them


# ---- what is asked, why, how soon


@pytest.mark.parametrize("stem", FLAGGED)
def test_what_is_asked_and_how_soon_stands_before_any_finding(stem: str) -> None:
    report = page(stem, "clinician")
    words = said(report)
    asked = words.index("Please review the client within two weeks.")
    assert words.index("Why we ask for your view, and how soon") < asked
    (first, *_) = parts_of(report, Bullets)
    assert asked < words.index(first.items[0].split(".")[0])


def test_each_flag_has_one_note_and_every_number_one_finding() -> None:
    for stem in FLAGGED:
        report = page(stem, "clinician")
        count = len(report.material.flags)
        marks = re.findall("[¹²³⁴⁵⁶⁷⁸⁹⁰]+", without_notes(report))
        digits = str.maketrans("¹²³⁴⁵⁶⁷⁸⁹⁰", "1234567890")
        assert sorted(int(mark.translate(digits)) for mark in marks) == list(range(1, count + 1))
        notes = report.document.small[0]
        assert sorted(
            int(mark.translate(digits)) for mark in re.findall("[¹²³⁴⁵⁶⁷⁸⁹⁰]+", notes)
        ) == list(range(1, count + 1))
        for flag in report.material.flags:
            assert notes.count(HEALTH_SOURCE_BY_KEY[flag.source].citation) == 1
            assert f"[{flag.status}]" in notes


@pytest.mark.parametrize("stem", FLAGGED)
def test_nothing_unsettling_stands_beside_a_referral(stem: str) -> None:
    words = without_notes(page(stem, "clinician"))
    assert "verified" not in words
    assert "expert judgement" not in words
    assert "Threshold" not in words
    assert not re.search(ILLNESSES, words.lower())


def test_every_finding_is_told_once() -> None:
    words = without_notes(page("told_at_intake", "clinician"))
    for finding in (
        "blood pressure 148/86 mmHg (self-reported; date of the reading not recorded)",
        "76.5 kg about 5 months earlier (October 2025), 71.2 kg on 12 March 2026: 6.9% less",
        "known or suspected diabetes", "weaker than before", "a fall in the last year",
        "anticoagulant or antiplatelet", "BMI 25.8", "height 166.0 cm", "triceps 11.8 mm",
        "26% to 34%",
    ):  # fmt: skip
        assert words.count(finding) == 1, finding
    assert words.count("148/86") == words.count("76.5 kg") == words.count("6.9%") == 1


def test_a_borderline_finding_says_so() -> None:
    lean = visit(
        client={"sex": "male", "age_years": 22},
        mass_height={"weight_kg": 62.0, "height_cm": 183.0},
        skinfolds_mm={"triceps": 4.0, "subscapular": 6.0},
        girths_cm={"waist_midpoint": 70.0, "neck": 35.0, "hip": 86.0},
    )
    report = foldspan.report(lean, reader="clinician")
    doubtful = [flag for flag in report.material.flags if flag.is_borderline]
    assert doubtful
    assert said(report).count("(borderline: about a ") == len(doubtful)
    # a range on another reference method says so
    assert "gives about 3 percentage points less" in said(report)


def test_without_a_flag_nothing_is_asked() -> None:
    words = said(foldspan.report(visit(), reader="clinician"))
    assert "No finding calls for a referral, and no action is needed from you." in words
    assert "Please review" not in words


def test_the_most_urgent_leads_and_the_rest_says_how_soon() -> None:
    report = foldspan.report(
        visit(intake={"symptoms": ["fainting", "thirst_and_urine", "easy_bruising"]}),
        reader="clinician",
    )
    words = said(report)
    order = [
        words.index(text)
        for text in (
            "Please review the client the same day (urgent).",
            "fainting or near-fainting",
            "Also, within a few days:",
            "marked thirst",
            "Not urgent:",
            "easy bruising",
        )
    ]
    assert order == sorted(order)


def test_what_was_not_measured_or_asked_stands_in_the_letter() -> None:
    words = said(foldspan.report(visit(), reader="clinician"))
    assert "Blood pressure was not measured or reported." in words
    assert "No health questions were answered" in words
    assert "No blood tests were done." in words


# ---- to, from, whom, consent, answer


def lines_of(report: Report) -> dict[str, str]:
    (part,) = parts_of(report, FillIn)
    return dict(part.lines)


def test_name_and_birth_date_are_lines_to_fill_in() -> None:
    report = foldspan.report(visit(), reader="clinician")
    assert report.document.letterhead is None
    assert lines_of(report) == {
        "To": "", "From": "", "Client's name": "", "Birth date": "", "Our code": "K-301",
        "Age, sex in equations": "38 years, female", "Date": "8 April 2026", "Measured by": "T-04",
    }  # fmt: skip
    kinds = [type(part) for part in report.document.parts]
    assert kinds[-2:] == [AnswerLines, Signature]


def test_the_practice_stands_at_the_head() -> None:
    report = foldspan.report(visit(), reader="clinician", practice=PRACTICE)
    assert lines_of(report)["From"] == PRACTICE.name
    shown = squeezed(" ".join(page.extract_text() for page in pdf_of(report).pages))
    for text in (PRACTICE.name, PRACTICE.address, PRACTICE.telephone, PRACTICE.letterhead):
        assert squeezed(text) in shown
        assert text in report.html()
    # an SVG is embedded as an image, never as markup
    assert "<svg" not in report.html()
    assert 'src="data:image/svg+xml;base64,' in report.html()
    assert report.to_dict()["page"]["letterhead"][0] == PRACTICE.name
    assert foldspan.report(visit(), reader="clinician").to_dict()["page"]["letterhead"] == []


@pytest.mark.parametrize("name", ["<script>x</script>", '#eval("1")', "{{ 7*7 }}", "A & B"])
def test_what_a_practice_types_is_never_read_as_markup(name: str) -> None:
    practice = foldspan.Practice(name=name, letterhead=name)
    report = foldspan.report(visit(), reader="clinician", practice=practice)
    assert "<script>" not in report.html()
    assert name in said(report)
    assert squeezed(name) in squeezed(pdf_of(report).pages[0].extract_text())


def consent_of(**options: Any) -> tuple[str, tuple[str, ...]]:
    made = foldspan.report(options.pop("of", visit()), reader="clinician", **options)
    (found,) = parts_of(made, Notice)
    (signature,) = parts_of(made, Signature)
    return " ".join(found.items), signature.labels


def test_the_letter_asks_for_consent_until_it_is_given() -> None:
    asked, signers = consent_of()
    assert "is not recorded" in asked
    assert signers[0].startswith("Client")
    agreed, signers = consent_of(agreed_to_share=True)
    assert "agreed to share this letter" in agreed
    assert not any(label.startswith("Client") for label in signers)
    assert "first declined" in consent_of(agreed_to_share=True, agreed_anew=True)[0]
    with pytest.raises(foldspan.FoldspanError) as caught:
        consent_of(agreed_to_share=False)
    assert [problem.code for problem in caught.value.problems] == ["E802"]


def test_where_eating_is_a_worry_nobody_shows_the_client_the_numbers() -> None:
    worried = visit(intake={"eating_concern": True})
    for given in (
        consent_of(of=worried),
        consent_of(careful=True),
        consent_of(careful=True, agreed_to_share=True),
    ):
        words, signers = given
        assert "please ask before you mention weight" in words
        assert "has read this letter" not in words
        assert not any(label.startswith("Client") for label in signers)
    assert "please ask before" not in consent_of()[0]


def test_the_answer_has_lines_in_every_format() -> None:
    report = foldspan.report(visit(), reader="clinician")
    (lines,) = parts_of(report, AnswerLines)
    assert report.html().count('class="ruled"') == lines.count >= 3
    tree: list[dict[str, Any]] = report.to_dict()["page"]["parts"]
    assert {"kind": "answer_lines", "title": lines.title, "count": lines.count} in tree
    assert squeezed(lines.title) in squeezed(pdf_of(report).pages[0].extract_text())


def _kinds(parts: tuple[Part, ...]) -> list[str]:
    return [type(part).__name__ for part in parts]


def test_a_letter_of_a_visit_holds_no_picture_and_no_table() -> None:
    for stem in STEMS:
        kinds = _kinds(page(stem, "clinician").document.parts)
        assert not {"Picture", "Table"} & set(kinds)


def words_of(*visits: foldspan.Visit, **wanted: Any) -> str:
    return " ".join(read_html(foldspan.report(*visits, reader="clinician", **wanted)).words)


def test_days_are_written_as_a_letter_writes_them() -> None:
    """A figure of a date is read in two ways across the Atlantic, and looks like a machine's."""
    intake = {"earlier_weight_kg": 80.0, "earlier_weight_months_ago": 4}
    before = visit(visit={"date": "2026-01-05"}, mass_height={"weight_kg": 74.0})
    now = visit(visit={"date": "2026-04-06"}, mass_height={"weight_kg": 70.0}, intake=intake)
    for units, days in (("metric", ("5 January 2026", "6 April 2026")),
                        ("us", ("January 5, 2026", "April 6, 2026"))):  # fmt: skip
        words = words_of(before, now, units=units)
        assert not re.search(r"\d{4}-\d\d-\d\d", words)
        assert f"From {days[0]} to {days[1]}." in words
        assert f"on {days[1]}: " in words


def test_the_body_mass_index_stands_beside_weight_and_height() -> None:
    client_visit = visit(mass_height={"weight_kg": 70.0, "height_cm": 170.0})
    assert "height 170.0 cm, BMI 24.2," in words_of(client_visit)  # 70 / 1.7 ** 2
    assert "BMI 24.2" in words_of(client_visit, units="us")
    # of a pregnant client it would be read as a finding
    tree = {"client": {"pregnant": True}, "mass_height": {"weight_kg": 70.0, "height_cm": 170.0}}
    assert "BMI" not in words_of(visit(**tree))
    no_height = foldspan.Visit.from_dict(
        {"client": {"sex": "male", "age_years": 40}, "mass_height": {"weight_kg": 80.0},
         "skinfolds_mm": {"chest": 12.0, "abdominal": 20.0, "thigh": 14.0}}
    )  # fmt: skip
    assert "BMI" not in words_of(no_height)
