"""Words for the JSON that commands print: a title for each shape, and what each of its keys holds.

What a key holds is read from the documentation of the fields of the ``classes`` of its shape; ``own``
says what no field says. Which keys there are, and of what kind, stands in ``foldspan.api.schemas``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from foldspan.api.cards.value import EquationValue
from foldspan.catalogue.card import Conversion, Equation
from foldspan.external.consistency import Sheet, SheetCheck
from foldspan.results.change import ChangeResult
from foldspan.results.explanation import Explanation
from foldspan.results.precision import PrecisionResult
from foldspan.results.result import Health, Result
from foldspan.screening.summary import Screening
from foldspan.validation.table import Calibration


@dataclass(frozen=True, slots=True)
class Words:
    """What is said of one shape."""

    title: str
    classes: tuple[type, ...] = ()
    own: Mapping[str, str] = field(default_factory=dict)


VERSION = {"schema_version": "Version of this JSON; it goes up when a key is renamed or removed."}
LOCAL = {"local_correction": "The local correction that was applied, null without one."}
CARE = {"careful_words": "Whether eating is a worry, so that the client is shown no numbers."}
MASSES = {
    "fat_percent": "Body fat [percentage points].",
    "fat_mass_kg": "Fat mass [kg].",
    "fat_free_mass_kg": "Fat-free mass: weight minus fat, bone included [kg].",
    "weight_kg": "Body weight [kg].",
}
HEALTH = CARE | {
    "standards_apart": "Sentences on standards that disagree with each other.",
    "health_remarks": "Sentences that apply to all bands and flags.",
}
CARD = {
    "source": "Where it was published.",
    "where": "Where in the source it is given.",
    "status": "How well its coefficients are verified.",
    "doi": "DOI of the publication, empty if not known.",
    "seen": "How much of the publication was seen.",
}
BY_SEX = {"by_sex": "Only with sex `both`: a result for each sex."}
COMMAND_SHAPES: dict[str, Words] = {
    "reconcile": Words(
        "The result for one visit",
        (Result, Health),
        VERSION
        | LOCAL
        | HEALTH
        | BY_SEX
        | {
            "correlation": "How the errors of the method groups correlate.",
            "problems": "Only if there is no range: the reasons.",
        },
    ),
    "explain": Words(
        "Why the methods of one visit differ",
        (Explanation, Result),
        VERSION
        | LOCAL
        | {
            "pairs": "Differences between two methods, the furthest apart first.",
            "would_agree": "Values at which the two methods of the first pair would agree.",
            "findings": "The findings of the result, with sizes.",
            "problems": "Only if there is no range: the reasons.",
            "measure_again": "Readings to measure again first.",
            "measure_all_again": (
                "Whether the methods disagree, so that every site should be measured again."
            ),
            "outside_results": "Results from elsewhere compared with the range.",
        },
    ),
    "sheet": Words(
        "Whether a result sheet adds up",
        (SheetCheck, Sheet),
        VERSION
        | {
            "out": (
                "The one number that looks wrong; null if there is none, or if it could be any of"
                " several."
            ),
            "other_unit": "The unit some masses seem to be in, null for none.",
            "corrections": "Single changes that would make the sheet add up, each with its value.",
            "fat_mass_kg": "Fat mass [kg], given or calculated from the others.",
            "fat_free_mass_kg": "Everything but fat [kg], with or without bone, as on the sheet.",
            "weight_kg": "Body weight [kg], given or calculated from the others.",
        },
    ),
    "change": Words(
        "What changed between visits",
        (ChangeResult,),
        VERSION
        | LOCAL
        | CARE
        | MASSES
        | {
            "weeks": "Time from the first visit to the last [weeks]; null if a date is missing.",
            "sum_of_folds_mm": "Sum of the skinfolds measured at all visits [mm].",
            "girths_cm": "Girth → its change [cm].",
            "measured_at_both": "Quantities that were compared.",
            "measured_once": "Quantities measured at one visit only, left out.",
            "breaks": "Codes of what affects the comparison; see docs/change.md.",
            "cancelled": "Share of the variance that cancels between two visits [0 to 1].",
            "se_by_stability": (
                "Assumed correlation of a method's error at two visits → standard error"
                " [percentage points]."
            ),
            "since_last": "With three or more visits: the latest change.",
        }
        | BY_SEX,
    ),
    "health": Words("What it means for health", (Health,), HEALTH),
    "precision": Words(
        "How well testers repeat their readings",
        (PrecisionResult,),
        VERSION
        | {
            "counts": "What the errors are based on.",
            "digit_preference": "Tester → unit → last digits.",
        },
    ),
    "calibrate": Words(
        "How often ranges cover a reference value",
        (Calibration,),
        VERSION | {"all": "Everybody who was evaluated."},
    ),
    "screen": Words(
        "The summary of a table",
        (Screening,),
        VERSION
        | LOCAL
        | {
            "without_range": "Reason, in words → number of rows.",
            "not_read_in_full": (
                "Rows with an entry that matters for referral and could not be read."
            ),
            "unit_to_confirm": (
                "Rows whose only reason for referral is a weight that looks like another unit."
            ),
            "columns": "Name of a column in the table → its name here.",
            "not_used": "Columns with unknown names.",
            "change": "What changed since an earlier table; only with `--before`.",
        },
    ),
    "equations": Words(
        "One equation of the catalogue",
        (Equation,),
        CARD
        | {
            "known_bias": "How far it is known to over- or underestimate.",
            "not_for": "Who it is not for.",
            "predicts": "What the formula returns: ``density``, ``fat_percent``, ``fat_mass``, …",
            "needs": "Quantities that must be measured.",
            "formula": "The formula as its source text.",
            "inputs": "Quantities it takes, in the order of the formula.",
            "see_points": (
                "Published standard error of estimate for an average adult [percentage points]."
            ),
            "survey_scatter": (
                "Sex → scatter around DXA in the US survey of 1999-2002 [percentage points]."
            ),
            "survey_offset": (
                "Sex → age → its known average error [percentage points]; above zero is too high."
            ),
            "survey_offset_by_background": (
                "Background → sex → its further average error [percentage points]."
            ),
            "on_request": (
                "Why it is not part of the range unless asked for; empty if it is part of it."
            ),
            "total_error_in_athletes": (
                "Total error found in athletes [percentage points], null if not known."
            ),
        },
    ),
    "conversion": Words(
        "One conversion from density to fat",
        (Conversion, Equation),
        CARD
        | {
            "c1": "Fat [%] = 100 (c1 / density - c2), density in g/cm³.",
            "c2": "See `c1`.",
            "ages": "Lower and upper age [years].",
        },
    ),
    "value": Words(
        "The value of one equation for one visit",
        (EquationValue,),
        VERSION | CARE,
    ),
    "group": Words(
        "The summary of a group, without individuals",
        (),
        VERSION
        | {
            "reference_method": "The reference method that fat is stated by: `density` or `dxa`.",
            "title": "Its title.",
            "tables": "Its tables.",
        },
    ),
    "clients": Words(
        "The clients in a record book",
        (),
        VERSION
        | {
            "clients": "Every client, by code.",
            "not_ended": "Code of each unfinished session, `no code yet` without one.",
        },
    ),
    "client": Words(
        "Everything a record book holds of a client",
        (),
        {
            "schema_version": "Version of this export, which counts for itself.",
            "code": "The client's code.",
            "name": "The name recorded beside the code; left out without one.",
            "visits": "The visits, in the order in which they were saved.",
        },
    ),
    "report": Words(
        "A page to hand over",
        (),
        VERSION
        | {
            "for": "Who reads it: `client`, `trainer` or `clinician`.",
            "units": "`metric` or `us`.",
            "page": "The page in reading order.",
            "reconcile": (
                "The result; left out, like the two below, if the client should see no numbers."
            ),
            "explain": "Why the methods differ.",
            "changes": "The change from each visit to the next; null if it could not be assessed.",
        },
    ),
}
