"""Words for the shapes inside those of ``json_shapes``: a range, a flag, a pair of methods, …."""

from __future__ import annotations

from foldspan.cli.doc_pages.json_shapes import COMMAND_SHAPES, MASSES, Words
from foldspan.explanation.correction_used import LocalUsed
from foldspan.explanation.decomposition import Pair, Reason
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.explanation.sensitivity import LeftOutAnswer, WouldAgree
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

PARTS: dict[str, Words] = {
    "range": Words("A range", (Spread,)),
    "correction": Words("A local correction", (LocalUsed,)),
    "table_change": Words(
        "What changed since an earlier table",
        (),
        {
            "rows_before": "Rows of the earlier table.",
            "matched": "Rows whose code is in both tables, once in each.",
            "only_now": "Rows whose code is only in the new table.",
            "only_before": "Codes that are only in the earlier table.",
            "compared": "Rows with a change in body fat.",
            "fat_percent": "Verdict on the change in body fat → number of rows.",
            "weight": "Verdict on the change in weight → number of rows.",
            "not_compared": "Why no change is shown → number of rows.",
            "no_range": "For `no_range` (now) and `no_range_before`: why → number of rows.",
            "notes": "What affects a comparison → number of rows.",
            "flagged_by_loss": "Rows with a flag that they have only because of a loss since then.",
            "loss_undated": "Rows with a loss of weight, but without a date in one of the tables.",
            "nearly_matched": (
                "Codes that would match without capitals, spaces, dashes or leading zeros."
            ),
            "no_code_before": "Rows of the earlier table without a code.",
            "code_twice_before": "Rows of the earlier table whose code is used more than once in it.",
        },
    ),
    "misfit": Words("How far the method groups disagree", (Misfit,)),
    "method": Words("One method group", (MethodResult,)),
    "equation": Words("One equation in a result", (EquationResult,)),
    "correlation": Words(
        "How the errors correlate",
        (),
        {
            "order": "Method groups in the order of the matrix.",
            "matrix": "Correlations of their errors [-1 to 1].",
        },
    ),
    "finding": Words("One finding", (SpokenFinding,)),
    "band": Words(
        "One health standard",
        (SpokenBand,),
        {"is_about_even": "Whether no single band is clearly the most likely."},
    ),
    "flag": Words("One flag", (SpokenFlag,)),
    "problem": Words(
        "Why there is no range",
        (Problem,),
        {
            "code": "Code of the problem; see docs/problem-codes.md.",
            "remedy": "What to do about it.",
        },
    ),
    "pair": Words(
        "Two methods that differ",
        (Pair,),
        {
            "difference": (
                "First minus second, known errors removed if ``levelled`` [percentage points]."
            ),
            "difference_on_reference_method": (
                "The same for the stated reference method, after any local correction [percentage"
                " points]."
            ),
            "expected_by_chance": (
                "Standard deviation of the difference expected from their errors [percentage"
                " points]."
            ),
            "ordinary": (
                "Whether measurement error alone would give a difference as large in at least 10%"
                " of people."
            ),
            "levelled": "Whether their known average errors were corrected.",
        },
    ),
    "reason": Words("One reason for a difference", (Reason,)),
    "slip": Words(
        "A reading that looks like a slip",
        (),
        {
            "quantities": "One quantity, or the two that were swapped.",
            "kind": "Kind of slip: swapped digits, another unit, and so on.",
            "reading": "Which reading, counted from 1; null for all readings of the site.",
            "values": "Accepted values now [units of the quantities].",
            "would_be": "Accepted values with the slip corrected [units of the quantities].",
            "odds": "How many times more consistent the visit would be, at most 1000.",
        },
    ),
    "would_agree": Words("What would have to be true", (WouldAgree,)),
    "without": Words("The range with one part left out", (LeftOutAnswer,)),
    "outside": Words(
        "A result from elsewhere",
        (Placed, SheetCheck),
        {
            "out": "The one number on its sheet that looks wrong, null for none.",
            "included": "Whether it is included in the range.",
        },
    ),
    "next": Words(
        "What to measure next",
        (NextMeasurement,),
        {
            "quantity": "What to measure.",
            "together_with": "What to measure along with it.",
            "range_80_width_now": "Width of the 80% range now [percentage points].",
            "range_80_width_expected": "Width to expect after measuring it [percentage points].",
        },
    ),
    "sheet_correction": Words(
        "A single change that would make the sheet add up",
        (),
        {
            "number": "Which number would change.",
            "value": "The value it would need [% of weight, or kg].",
        },
    ),
    "difference": Words(
        "The change of one quantity",
        (Difference,),
        {
            "change": "Later value minus earlier value.",
            "range_80": "Lower and upper end of the 80% range of the true change.",
            "range_95": "Lower and upper end of the 95% range.",
            "minimal_detectable_change": (
                "Smallest change that is more than measurement error (95% confidence)."
            ),
            "is_real": "Whether the change is larger than that.",
            "chance_of_rise": "Probability that the true value went up.",
        },
    ),
    "step": Words(
        "The latest change of several visits",
        (),
        MASSES
        | {
            "weeks": "Time between the two visits [weeks].",
            "breaks": "Codes of what affects the comparison.",
        },
    ),
    "trend": Words(
        "The trend over all visits",
        (),
        {
            "percentage_points_a_month": "Slope [percentage points per month].",
            "se": "Standard error of the slope [percentage points per month].",
            "visits": "Number of visits.",
            "breaks": "Codes of what affects the comparison.",
            "change": "Change along the line from the first to the last visit [percentage points].",
            "range_80": "Lower and upper end of the 80% range of that change.",
            "range_95": "Lower and upper end of the 95% range.",
            "minimal_detectable_change": (
                "Smallest change beyond measurement error (95% confidence) [percentage points]."
            ),
            "is_real": "Whether the change is larger than that.",
            "chance_of_fall": "Probability that body fat went down.",
        },
    ),
    "precision_counts": Words(
        "What the technical errors are based on",
        (PrecisionResult,),
        {
            "readings_alone": "Single readings without a repeat, which are not used.",
        },
    ),
    "site": Words(
        "Technical errors on one site",
        (SitePrecision,),
        {
            "targets": "Published targets; null for weight.",
        },
    ),
    "error": Words(
        "One technical error",
        (Precision,),
        {
            "low": "Lower 95% bound [unit of the readings].",
            "high": "Upper 95% bound [unit of the readings].",
        },
    ),
    "offset": Words("A tester's average difference from the others", (Offset,)),
    "target": Words(
        "Published targets",
        (),
        {
            "within": "For repeats by one tester [TEM in % of the mean].",
            "between": "For repeats by several testers [TEM in % of the mean].",
            "reliability": "For the coefficient of reliability [at most 1].",
            "status": "How well the targets are verified.",
        },
    ),
    "two_targets": Words(
        "Two targets",
        (),
        {
            "skilled": "For skilled testers.",
            "beginner": "For beginners.",
        },
    ),
    "digits": Words("Last digits", (Digits,)),
    "own_error": Words("A tester's own error, used instead of the published one", (Precision,)),
    "remark": Words("One remark on technical errors", (Remark,)),
    "calibrate_counts": Words(
        "What happened to the rows",
        (),
        {
            "rows": "All rows.",
            "judged": "Rows with a range and a reference value: these are evaluated.",
            "without_reference": "Rows without a reference value.",
            "reference_unusable": "Rows with a reference value outside 2% to 70%.",
            "without_range": "Rows without a range.",
        },
    ),
    "judgement": Words(
        "How well one kind of range performed",
        (Judgement,),
        {
            "interval_score": "Level → interval score [points]; lower is better.",
        },
    ),
    "held": Words(
        "Coverage of a range",
        (),
        {
            "held": "Share of reference values inside the range [0 to 1].",
            "bounds": "Exact binomial 95% limits of that share.",
        },
    ),
    "share": Words("One band in a table", (Share,)),
    "group_table": Words(
        "One table of the summary of a group",
        (),
        {
            "table": "Its key.",
            "title": "Its heading.",
            "columns": "Names of the columns of numbers.",
            "rows": "Name of a row → its numbers; null if a number is withheld.",
        },
    ),
    "client_line": Words(
        "One client in a record book",
        (),
        {
            "code": "The client's code.",
            "name": 'The name recorded beside the code, "" without one.',
            "visits": "Number of visits.",
            "last": "When the last visit was begun: date and time, in UTC.",
        },
    ),
    "kept_visit": Words(
        "One visit in a record book",
        (),
        {
            "visit": "Its number among the client's visits; left out where one visit is exported.",
            "has_ended": "Whether the session was finished.",
            "as_it_stands": "The visit with its corrections, as in a [visit file](visit-file.md).",
            "events": "Everything that was recorded, in order.",
        },
    ),
    "event": Words(
        "One event of a session",
        (),
        {
            "place": "Its place in the visit, from 1.",
            "at": "When it was recorded: date and time, in UTC.",
            "kind": "What it is: `answer`, `page`, `undo`, `note`, `corrected` and others.",
            "body": "What was recorded.",
        },
    ),
    "page": Words(
        "A page",
        (Document,),
        {
            "small_print": "The small print at the end.",
            "letterhead": "Sender, line by line; empty if not known.",
        },
    ),
    "part": Words(
        "One part of a page; which keys it has depends on its kind",
        (),
        {
            "kind": "`heading`, `paragraph`, `list`, `notice`, `table`, `picture` and others.",
            "text": "Its text; for a picture, a description.",
            "title": "Its heading.",
            "items": "The points of a list or a notice.",
            "rows": "Rows of a table, or pairs of a name and its value.",
            "header": "Column names.",
            "numeric": "Columns aligned right, from 0.",
            "note": "Note below a table.",
            "name": "Name of the picture.",
            "caption": "Caption below the picture.",
            "labels": "Label of each line to fill in or sign.",
            "values": 'Text already known for each line; "" for one to fill in by hand.',
            "count": "Number of ruled lines for an answer.",
        },
    ),
}
WORDS = COMMAND_SHAPES | PARTS
