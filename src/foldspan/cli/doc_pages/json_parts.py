"""Shapes inside those of ``json_shapes``: a range, a flag, a pair of methods, …."""

from __future__ import annotations

from foldspan.cli.doc_pages.json_shapes import CHANGES, COMMAND_SHAPES, MASSES, Shape, shaped
from foldspan.explanation.correction_used import LocalUsed
from foldspan.explanation.decomposition import Pair, Reason
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.explanation.sensitivity import Without, WouldAgree
from foldspan.external.combine import Placed
from foldspan.external.consistency import SheetCheck
from foldspan.followup.difference import Difference
from foldspan.measurement.technical_error import Digits, Offset, Precision
from foldspan.pages.document import Document
from foldspan.problems import Problem
from foldspan.results.precision import PrecisionResult, Remark, SitePrecision
from foldspan.results.result import EquationResult, MethodResult, Misfit, Spread
from foldspan.results.spoken import SpokenBand, SpokenFinding, SpokenFlag
from foldspan.screening.summary import Share
from foldspan.validation.scores import Judgement

PARTS: dict[str, Shape] = {
    "range": Shape("A range", (Spread,)),
    "correction": Shape("A correction that a site has learnt", (LocalUsed,)),
    "misfit": Shape("How far the method groups lie apart", (Misfit,)),
    "method": Shape("One method group", (MethodResult,)),
    "equation": Shape("One equation in an answer", (EquationResult,)),
    "correlation": Shape(
        "How errors go together",
        (),
        {
            "order": "Method groups in the order of the matrix.",
            "matrix": "Correlations of their errors [-1 to 1].",
        },
    ),
    "finding": Shape("One finding", (SpokenFinding,)),
    "band": Shape(
        "One health standard",
        (SpokenBand,),
        {"is_about_even": "Whether no band is likely enough to name one."},
    ),
    "flag": Shape("One flag", (SpokenFlag,)),
    "problem": Shape(
        "Why there is no range",
        (Problem,),
        {
            "code": "Code of the problem; see docs/problem-codes.md.",
            "remedy": "What to do about it.",
        },
    ),
    "pair": Shape(
        "Two methods that differ",
        (Pair,),
        {
            "difference": "First minus second, without known errors where ``levelled`` [points].",
            "difference_on_reference_method": (
                "The same by the stated reference method, less a site's correction [points]."
            ),
            "expected_by_chance": "Standard deviation that their errors allow for it [points].",
            "ordinary": "Whether chance alone makes as much in 1 case of 10 or more.",
            "levelled": "Whether their known average errors were corrected.",
        },
        shaped(reasons="reason"),
    ),
    "reason": Shape("One reason for a difference", (Reason,)),
    "slip": Shape(
        "A reading that looks like a slip",
        (),
        {
            "quantities": "One quantity, or the two that were exchanged.",
            "kind": "Kind of slip: digits exchanged, another unit, and so on.",
            "reading": "Which reading, from 1; null for all of the site.",
            "values": "Accepted values now [units of the quantities].",
            "would_be": "What they would be [units of the quantities].",
            "odds": "How many times better the visit would fit, at most 1000.",
        },
    ),
    "would_agree": Shape("What would have to be true", (WouldAgree,)),
    "without": Shape("The range without one part", (Without,)),
    "outside": Shape(
        "A result from elsewhere",
        (Placed, SheetCheck),
        {
            "out": "The one number of its sheet to doubt, null for none.",
            "included": "Whether it joined the range.",
        },
    ),
    "next": Shape(
        "What to measure next",
        (NextMeasurement,),
        {
            "quantity": "What to measure.",
            "together_with": "What to measure with it.",
            "range_80_width_now": "Width of the 80% range as it is [points].",
            "range_80_width_expected": "Width to be expected once it is measured [points].",
        },
    ),
    "sheet_correction": Shape(
        "A number that alone would correct all sums",
        (),
        {
            "number": "Which number.",
            "value": "What it would have to be [% of weight, or kg].",
        },
    ),
    "difference": Shape(
        "The change of one quantity",
        (Difference,),
        {
            "change": "Later less earlier.",
            "range_80": "Ends of the 80% range of the true change.",
            "range_95": "Ends of its 95% range.",
            "minimal_detectable_change": (
                "Smallest change that is more than measurement error (95% confidence)."
            ),
            "is_real": "Whether it is larger than that.",
            "chance_of_rise": "Chance that the true value went up.",
        },
    ),
    "step": Shape(
        "The last step of several visits",
        (),
        MASSES
        | {
            "weeks": "Time between the two visits [weeks].",
            "breaks": "Codes of what breaks the comparison.",
        },
        CHANGES,
    ),
    "trend": Shape(
        "A line through all visits",
        (),
        {
            "percentage_points_a_month": "Its slope [percentage points a month].",
            "se": "Standard error of that.",
            "visits": "How many visits.",
            "breaks": "Codes of what breaks the comparison.",
            "change": "What the line changes over the whole time [points].",
            "range_80": "Ends of the 80% range of that.",
            "range_95": "Ends of its 95% range.",
            "minimal_detectable_change": (
                "Smallest change beyond measurement error (95% confidence) [points]."
            ),
            "is_real": "Whether it is larger than that.",
            "chance_of_fall": "Chance that body fat went down.",
        },
    ),
    "precision_counts": Shape(
        "What technical errors rest on",
        (PrecisionResult,),
        {
            "readings_alone": "Single readings that nobody repeated: they count nowhere.",
        },
    ),
    "site": Shape(
        "Technical errors on one site",
        (SitePrecision,),
        {
            "targets": "What is published as a target; null for weight.",
        },
        {
            "within": ("error", 1),
            "between": ("error", 0),
            "systematic": ("offset", 1),
            "targets": ("target", 0),
        },
    ),
    "error": Shape(
        "One technical error",
        (Precision,),
        {
            "low": "Lower 95% bound [unit of the readings].",
            "high": "Upper 95% bound [unit of the readings].",
        },
    ),
    "offset": Shape("How far a tester reads from the others", (Offset,)),
    "target": Shape(
        "Published targets",
        (),
        {
            "within": "For repeats by one tester [% of the mean].",
            "between": "For repeats by several [% of the mean].",
            "reliability": "For the coefficient of reliability [at most 1].",
            "status": "How surely they are known.",
        },
        shaped(within="two_targets", between="two_targets"),
    ),
    "two_targets": Shape(
        "Two targets",
        (),
        {
            "skilled": "For skilled testers.",
            "beginner": "For beginners.",
        },
    ),
    "digits": Shape("Last digits", (Digits,)),
    "own_error": Shape("A tester's own error, to be used for the published one", (Precision,)),
    "remark": Shape("One thing to know about technical errors", (Remark,)),
    "calibrate_counts": Shape(
        "What became of the rows",
        (),
        {
            "rows": "All of them.",
            "judged": "Those with a range and a reference.",
            "without_reference": "Those without a reference.",
            "reference_unusable": "Those whose reference lies outside 2 to 70%.",
            "without_range": "Those without a range.",
        },
    ),
    "judgement": Shape(
        "How one way of stating ranges did",
        (Judgement,),
        {
            "interval_score": "Level → interval score [points]; lower is better.",
        },
        {"coverage": ("held", 1)},
    ),
    "held": Shape(
        "How often a range held the reference",
        (),
        {
            "held": "Share of references inside the range [0 to 1].",
            "bounds": "Exact binomial 95% bounds of that share.",
        },
    ),
    "share": Shape("One band in a table", (Share,)),
    "page": Shape(
        "A page",
        (Document,),
        {
            "small_print": "The small print at the end.",
            "letterhead": "Who writes, a line each; empty where that is not known.",
        },
        shaped(parts="part"),
    ),
    "part": Shape(
        "One part of a page; which keys it has depends on its kind",
        (),
        {
            "kind": "`heading`, `paragraph`, `list`, `notice`, `table`, `picture` and others.",
            "text": "Its words; of a picture, what it shows.",
            "title": "Its heading.",
            "items": "The points of a list or a notice.",
            "rows": "Rows of a table, or names with what stands for each.",
            "header": "Names of the columns.",
            "numeric": "Columns aligned right, from 0.",
            "note": "What stands below a table.",
            "name": "Name of the picture.",
            "caption": "What stands below the picture.",
            "labels": "What belongs on each line to fill in or to sign.",
            "values": 'What is known of each line; "" for one to fill in by hand.',
            "count": "How many ruled lines there are for an answer.",
        },
    ),
}
SHAPES = COMMAND_SHAPES | PARTS
