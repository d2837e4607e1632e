"""Schemas of the results that the API returns: every key of the first level, with what it holds."""

from __future__ import annotations

from typing import Any

from foldspan.browser.openapi import an_object

_NUMBER = {"type": "number"}
_OR_NULL = {"type": ["number", "null"]}
_TEXT, _FLAG = {"type": "string"}, {"type": "boolean"}
_TREE, _TREES = {"type": "object"}, {"type": "array", "items": {"type": "object"}}
_TREE_OR_NULL = {"type": ["object", "null"]}
_TEXTS = {"type": "array", "items": {"type": "string"}}
_ENDS = {"type": ["array", "null"], "items": _NUMBER, "minItems": 2, "maxItems": 2}
_SPREAD = an_object(
    {"estimate": _OR_NULL, "se": _OR_NULL, "range_80": _ENDS, "range_95": _ENDS},
    "estimate", "se", "range_80", "range_95",
)  # fmt: skip
_FLAGS = {
    "type": "array",
    "items": an_object(
        {"code": _TEXT, "level": _TEXT, "text": _TEXT, "for_client": _TEXT},
        "code", "level", "text", "for_client",
    ),
}  # fmt: skip
_FIRST: dict[str, Any] = {
    "schema_version": {"type": "integer"},
    "reference_method": {"enum": ["density", "dxa"]},
    "local_correction": _TREE_OR_NULL,
    "as_printed": _FLAG,
}
_VERDICT = {"enum": ["agree", "strained", "disagree", "single", None]}


def _result(properties: dict[str, Any], **now_and_then: Any) -> dict[str, Any]:
    """The schema of a result: these keys always, the others where they apply, and no more."""
    always = _FIRST | properties
    return an_object(always | now_and_then, *always, additionalProperties=False)


RECONCILED = _result(
    {
        **dict.fromkeys(("fat_percent", "fat_mass_kg", "fat_free_mass_kg"), _SPREAD),
        "verdict": _VERDICT,
        **dict.fromkeys(("misfit", "correlation"), _TREE),
        "budget": {"type": "object", "additionalProperties": _NUMBER},
        **dict.fromkeys(("methods", "equations", "findings", "bands"), _TREES),
        "flags": _FLAGS,
        "careful_words": _FLAG,
        **dict.fromkeys(("standards_apart", "health_remarks", "cautions"), _TEXTS),
        **dict.fromkeys(("answered_none", "not_asked"), _TEXTS),
    },
    problems=_TREES,
    by_sex=_TREE,
)
EXPLAINED = _result(
    {
        "fat_percent": _SPREAD,
        "verdict": _VERDICT,
        **dict.fromkeys(("findings", "pairs", "measure_again", "would_agree"), _TREES),
        **dict.fromkeys(("leave_one_out", "outside_results", "next_measurements"), _TREES),
        "measure_all_again": _FLAG,
        "best_repeat": _TREE_OR_NULL,
        "cautions": _TEXTS,
    },
    problems=_TREES,
    by_sex=_TREE,
)
CHANGED = _result(
    {
        "weeks": _OR_NULL,
        **dict.fromkeys(("fat_percent", "fat_mass_kg", "fat_free_mass_kg"), _TREE_OR_NULL),
        **dict.fromkeys(("weight_kg", "sum_of_folds_mm"), _TREE_OR_NULL),
        **dict.fromkeys(("girths_cm", "se_by_stability"), _TREE),
        **dict.fromkeys(("measured_at_both", "measured_once", "breaks"), _TEXTS),
        "cancelled": _OR_NULL,
        "flags": _FLAGS,
        **dict.fromkeys(("careful_words", "measure_all_again"), _FLAG),
        **dict.fromkeys(("since_last", "trend"), _TREE_OR_NULL),
    },
    problems=_TREES,
)
