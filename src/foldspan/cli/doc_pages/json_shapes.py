"""Shapes of the JSON that commands print: which class says what each key holds, and words of our own.

A shape is one kind of mapping, such as a range or a flag. What its keys hold is read from the
documentation of the fields of its ``classes``; ``own`` says what no field says, and ``holds`` names the
shape inside a key, with the number of mappings by a code that lie between.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from foldspan.catalogue.card import Conversion, Equation
from foldspan.external.consistency import Sheet, SheetCheck
from foldspan.results.change import ChangeResult
from foldspan.results.explanation import Explanation
from foldspan.results.precision import PrecisionResult
from foldspan.results.result import (
    Health,
    Result,
)
from foldspan.screening.summary import Screening
from foldspan.validation.table import Calibration


@dataclass(frozen=True, slots=True)
class Shape:
    """One kind of mapping."""

    title: str
    classes: tuple[type, ...] = ()
    own: Mapping[str, str] = field(default_factory=dict)
    holds: Mapping[str, tuple[str, int]] = field(default_factory=dict)


def shaped(**shapes: str) -> dict[str, tuple[str, int]]:
    """Keys that hold a shape itself, or a list of it."""
    return {key: (shape, 0) for key, shape in shapes.items()}


VERSION = {"schema_version": "Version of the form of this JSON; it goes up where a key is renamed."}
LOCAL = {"local_correction": "The site's own correction that the answer holds, null without one."}
CARE = {"careful_words": "Whether eating is a worry, so that the client is shown no number."}
RANGES = shaped(fat_percent="range", fat_mass_kg="range", fat_free_mass_kg="range")
CHANGES = shaped(
    fat_percent="difference", fat_mass_kg="difference", fat_free_mass_kg="difference",
    weight_kg="difference", sum_of_folds_mm="difference",
)  # fmt: skip
MASSES = {
    "fat_percent": "Body fat [percentage points].",
    "fat_mass_kg": "Fat mass [kg].",
    "fat_free_mass_kg": "Fat-free mass: weight less fat, bone included [kg].",
    "weight_kg": "Body weight [kg].",
}
COMMAND_SHAPES: dict[str, Shape] = {
    "reconcile": Shape(
        "The answer for one visit",
        (Result, Health),
        VERSION
        | LOCAL
        | CARE
        | {
            "correlation": "How the errors of the method groups go together.",
            "standards_apart": "Sentences on standards that contradict each other.",
            "health_remarks": "Sentences that apply to all of it.",
            "problems": "Only where there is no range: why.",
            "by_sex": "Only where it is open which equations fit: an answer for each sex.",
        },
        RANGES
        | shaped(
            local_correction="correction",
            misfit="misfit",
            methods="method",
            equations="equation",
            correlation="correlation",
            findings="finding",
            bands="band",
            flags="flag",
            problems="problem",
        ),
    ),
    "explain": Shape(
        "Why the methods of one visit differ",
        (Explanation, Result),
        VERSION
        | LOCAL
        | {
            "pairs": "Differences of two methods, the furthest apart first.",
            "would_agree": "Values at which the first of ``pairs`` would agree.",
            "findings": "The findings of the answer, with sizes.",
            "problems": "Only where there is no range: why.",
            "measure_again": "Readings to measure again first.",
            "measure_all_again": "Whether the methods disagree: every site wants measuring once more.",
            "outside_results": "Results from elsewhere against the range.",
        },
        shaped(
            fat_percent="range",
            local_correction="correction",
            findings="finding",
            pairs="pair",
            measure_again="slip",
            would_agree="would_agree",
            leave_one_out="without",
            outside_results="outside",
            next_measurements="next",
            best_repeat="next",
            problems="problem",
        ),
    ),
    "sheet": Shape(
        "Whether a result sheet adds up",
        (SheetCheck, Sheet),
        VERSION
        | {
            "out": "The one number to doubt, null where none or several would do.",
            "other_unit": "That unit, null for none.",
            "corrections": "Each number that alone would correct all sums, with its value.",
            "fat_mass_kg": "Fat mass [kg], given or worked out from the others.",
            "fat_free_mass_kg": "All but fat [kg], bone in it or not as the sheet has it.",
            "weight_kg": "Body weight [kg], given or worked out from the others.",
        },
        shaped(corrections="sheet_correction"),
    ),
    "change": Shape(
        "What changed between visits",
        (ChangeResult,),
        VERSION
        | LOCAL
        | CARE
        | MASSES
        | {
            "weeks": "Time between the first visit and the last [weeks]; null where a day is not noted.",
            "sum_of_folds_mm": "Sum of the skinfolds measured at all visits [mm].",
            "girths_cm": "Girth → its change [cm].",
            "measured_at_both": "Quantities that were compared.",
            "measured_once": "Quantities measured at one visit only, left out.",
            "breaks": "Codes of what breaks the comparison; see docs/change.md.",
            "cancelled": "Share of the variance of two ranges that cancels [0 to 1].",
            "se_by_stability": "How alike a method errs at two visits → standard error [points].",
            "since_last": "With three visits and more: the last step.",
        },
        CHANGES
        | {"girths_cm": ("difference", 1)}
        | shaped(
            local_correction="correction",
            flags="flag",
            since_last="step",
            trend="trend",
        ),
    ),
    "precision": Shape(
        "How well testers repeat",
        (PrecisionResult,),
        VERSION
        | {
            "counts": "What the errors rest on.",
            "digit_preference": "Tester → unit → last digits.",
        },
        {"sites": ("site", 1), "digit_preference": ("digits", 2), "own_errors": ("own_error", 2)}
        | shaped(counts="precision_counts", remarks="remark"),
    ),
    "calibrate": Shape(
        "How often ranges hold a reference",
        (Calibration,),
        VERSION | {"all": "Everybody who was judged."},
        shaped(counts="calibrate_counts", all="judgement")
        | {"groups": ("judgement", 2), "ways": ("judgement", 1), "equations": ("judgement", 1)},
    ),
    "screen": Shape(
        "What came of a table",
        (Screening,),
        VERSION
        | LOCAL
        | {
            "without_range": "Reason, in words → rows.",
            "not_read_in_full": "Rows with something that matters for a referral and could not be read.",
            "columns": "Name of a column in the table → its name here.",
            "not_used": "Columns whose names are not known.",
        },
        shaped(local_correction="correction") | {"bands": ("share", 3)},
    ),
    "equations": Shape(
        "One equation of the catalogue, or one conversion from density to fat",
        (Equation, Conversion),
        {
            "source": "Where it was published.",
            "known_bias": "What it is known to read wrong.",
            "not_for": "Whom it is not for.",
            "where": "The place in the source.",
            "status": "How surely its coefficients are known.",
            "predicts": "What the formula returns: ``density``, ``fat_percent``, ``fat_mass``, …",
            "c1": "Of a conversion: fat [%] = 100 (c1 / density - c2), density in g/cm³.",
            "c2": "Of a conversion: see `c1`.",
            "ages": "Of a conversion: from and to [years].",
            "doi": "The identifier of that publication, empty where none is known.",
            "seen": "What was seen of it.",
            "needs": "Quantities that have to be measured.",
            "formula": "The formula as its source text.",
            "inputs": "Quantities it takes, in the order of the formula.",
            "see_points": "Published standard error for an average adult [points of fat].",
            "survey_scatter": "Sex → scatter against DXA in the US survey of 1999-2002 [points].",
            "survey_offset": "Sex → age → its known average error [points]; above zero is too high.",
            "survey_offset_by_background": "Background → sex → its further average error [points].",
            "on_request": "Why it stays out of the range unless asked for; empty where it takes part.",
            "total_error_in_athletes": "Total error found in athletes [points], null where not known.",
        },
    ),
    "report": Shape(
        "A page to hand over",
        (),
        VERSION
        | {
            "for": "Who reads it: `client`, `trainer` or `clinician`.",
            "units": "`metric` or `us`.",
            "page": "The page in reading order.",
            "reconcile": "The answer; left out, as the two below, where the client is to see no number.",
            "explain": "Why the methods differ.",
            "changes": "The change from each visit to the next; null where none could be judged.",
        },
        shaped(page="page", reconcile="reconcile", explain="explain", changes="change"),
    ),
}
