"""Second typing of what the protocol says of repeats, clothing and sites; not typed from the package.

Typed from the notes on the sources. "Verified" means that the fact was read in the source or in a text
that reproduces it, "not verified in print" that it was not.
"""

from __future__ import annotations

import numpy as np
import pytest

from foldspan.protocol import clothing, repeat_rules, site_guide
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.visit.keys import SITE_VARIANTS

# --- How far two readings may be apart -------------------------------------------------------------
FOLDS = (5.0, 10.0, 20.0, 40.0)  # mm
# Worked by hand, in mm. 1 and 2 mm: ACSM, retest if not within 1-2 mm, not verified in print. 5 %:
# ISAK, not verified in print. 10 %: lab sheet for Essentials of Strength Training, 4th ed., verified.
# Adaptive: the greatest of 1 mm, 10 % and one step of the scale, ours. Growing: the greater of 2 mm
# and 10 %, thin folds tighter (a fifth, at least 1 mm): the two published limits joined, ours.
ALLOWED = {
    "growing": (1.0, 2.0, 2.0, 4.0),
    "1mm": (1.0, 1.0, 1.0, 1.0),
    "2mm": (2.0, 2.0, 2.0, 2.0),
    "5%": (0.25, 0.5, 1.0, 2.0),
    "10%": (0.5, 1.0, 2.0, 4.0),
    "adaptive": (1.0, 1.0, 2.0, 4.0),
}
STATUS = {
    "growing": "expert judgement",
    "1mm": "not verified in print",
    "2mm": "common practice, no source",  # one school: 1 to 2 mm, not verified in print
    "5%": "not verified in print",
    "10%": "verified",
    "adaptive": "expert judgement",
}


def test_no_rule_but_these() -> None:
    assert {rule.key for rule in repeat_rules.RULES} == set(ALLOWED)
    assert len(repeat_rules.RULES) == len(ALLOWED)
    assert {rule.key: rule.status for rule in repeat_rules.RULES} == STATUS


@pytest.mark.parametrize("key", ALLOWED)
def test_rule_allows_what_is_worked_by_hand(key: str) -> None:
    rule = repeat_rules.RULE_BY_KEY[key]
    assert [rule.tolerance(fold) for fold in FOLDS] == pytest.approx(ALLOWED[key])
    found = [repeat_rules.tolerance("triceps_mm", fold, rule) for fold in FOLDS]
    assert found == pytest.approx(ALLOWED[key])


def test_only_the_adaptive_rule_looks_at_the_step_of_the_scale() -> None:
    """A step of 3 mm, coarser than any calliper, so that it is the greatest of the three at 20 mm."""
    found = {rule.key: rule.tolerance(20.0, 3.0) for rule in repeat_rules.RULES}
    assert found == pytest.approx(
        {"growing": 2, "1mm": 1, "2mm": 2, "5%": 1, "10%": 2, "adaptive": 3}
    )


def test_thin_folds_are_held_tighter() -> None:
    """By hand: a fifth of 7 mm is 1.4 mm; of 4 mm 0.8 mm, less than the least of 1 mm."""
    rule = repeat_rules.RULE_BY_KEY["growing"]
    assert [rule.tolerance(fold) for fold in (4.0, 7.0, 9.0)] == pytest.approx([1.0, 1.4, 1.8])
    many = np.array([4.0, 7.0, 10.0, 35.0, np.nan])
    assert rule.tolerance(many).tolist()[:4] == [rule.tolerance(fold) for fold in many.tolist()[:4]]


# Girths of the trunk 1 cm: PhenX panel, verified for the waist. Neck, wrist and limbs 5 mm: ACSM, or
# 1 %: ISAK, both not verified in print.
NARROW = ("neck", "thigh_upper_girth", "thigh_mid_girth", "knee_girth", "calf_girth", "ankle_girth",
          "arm_relaxed_girth", "arm_flexed_girth", "forearm_girth", "wrist_girth")  # fmt: skip


@pytest.mark.parametrize("name", [name for name in MEASURED if BY_NAME[name].kind == "girth"])
def test_girths_go_by_their_site(name: str) -> None:
    narrow = name.removesuffix("_cm") in NARROW
    found = [float(repeat_rules.tolerance(name, girth)) for girth in (16.0, 38.0, 62.0, 95.0)]
    assert found == pytest.approx([0.5, 0.5, 0.62, 0.95] if narrow else [1.0] * 4)
    former = repeat_rules.GIRTH_RULE_BY_KEY["1cm"]
    assert former.tolerance(name, 38.0) == 1.0


def test_waist_height_and_weight_go_by_one_distance() -> None:
    """Waist: PhenX panel, a third reading if more than 1.0 cm apart, verified.

    Height 0.5 cm and weight 0.2 kg not verified in print. A share of the value plays no part.
    """
    for rule in repeat_rules.RULES:
        for waist in (60.0, 140.0):
            assert repeat_rules.tolerance("waist_midpoint_cm", waist, rule) == 1.0
        assert repeat_rules.tolerance("height_cm", 170.0, rule) == 0.5
        assert repeat_rules.tolerance("weight_kg", 80.0, rule) == 0.2


def test_when_to_read_and_how_long_to_rest() -> None:
    """Read at 2 s: notes of a national sports institute, verified; the lab sheet has 1-2 s, verified.

    Other schools print 3 and 4 s. Rest of at least 15 s: not verified in print.
    """
    assert repeat_rules.READ_AFTER == 2.0
    assert repeat_rules.REST == 15.0


# How often each rule asks for a third reading: fold [mm], error [% of the fold], then the share for
# 1mm, 2mm, 5%, 10%, adaptive, to two digits. Computed for the notes by somebody else, normal error.
FIRES = (
    (5.0, 5.0, (0.00, 0.00, 0.48, 0.16, 0.00)),
    (10.0, 5.0, (0.16, 0.00, 0.48, 0.16, 0.16)),
    (20.0, 5.0, (0.48, 0.16, 0.48, 0.16, 0.16)),
    (40.0, 5.0, (0.72, 0.48, 0.48, 0.16, 0.16)),
    (20.0, 10.0, (0.72, 0.48, 0.72, 0.48, 0.48)),
)


@pytest.mark.parametrize(("fold", "error", "shares"), FIRES)
def test_each_rule_fires_as_often_as_printed(
    fold: float, error: float, shares: tuple[float, ...]
) -> None:
    """Tolerance: half the last printed digit (.005) and four standard errors of 20,000 pairs (.014)."""
    pairs = np.random.default_rng(20).normal(fold, fold * error / 100.0, size=(20_000, 2))
    apart, means = np.abs(pairs[:, 0] - pairs[:, 1]), pairs.mean(axis=1)
    for key, share in zip(("1mm", "2mm", "5%", "10%", "adaptive"), shares, strict=True):
        rule = repeat_rules.RULE_BY_KEY[key]
        fired = apart > np.array([rule.tolerance(float(mean)) for mean in means])
        assert fired.mean() == pytest.approx(share, abs=0.02), key


# --- Clothing --------------------------------------------------------------------------------------
# Obes Res Clin Pract 2010;4:e239-244, pilot of 50 people, abstract read: mean and 95 % limits in cm.
# Printed as "95 % CI"; taken as limits of the single person, as the notes do: of the mean of 50 they
# would be a spread seven times as wide.
PILOT = {"waist": (0.50, -1.54, 2.55), "hip": (2.58, -0.75, 5.91)}
WAISTS = ("waist_narrowest_cm", "waist_midpoint_cm", "waist_iliac_cm", "abdomen_navel_cm")


@pytest.mark.parametrize("name", [*WAISTS, "hip_cm"])
def test_one_layer_adds_what_the_pilot_found(name: str) -> None:
    mean, low, high = PILOT["hip" if name == "hip_cm" else "waist"]
    layer = clothing.over_clothing(name)
    assert layer.mean == mean
    # the limits are printed to 0.01 cm, so that half their width over 1.96 is known to 0.005
    assert layer.sd == pytest.approx((high - low) / 2.0 / 1.96, abs=0.005)
    assert layer.mean == pytest.approx((low + high) / 2.0, abs=0.011)  # limits even about the mean


def test_nothing_is_known_of_clothing_on_other_girths() -> None:
    others = {name for name in MEASURED if name.endswith("_cm")} - {*WAISTS, "hip_cm"}
    assert "neck_cm" in others
    for name in others:
        with pytest.raises(KeyError):
            clothing.over_clothing(name)


# --- Sites -----------------------------------------------------------------------------------------
VERIFIED, MEMORY = "verified", "not verified in print"
# Marks that are measured: site, variant, share of the way, words of its two ends.
MARKS = (
    ("chest_mm", "half", 1 / 2, "armpit", "nipple"),  # ACSM, men
    ("chest_mm", "third", 1 / 3, "armpit", "nipple"),  # ACSM, women: one third from the armpit line
    ("triceps_mm", "olecranon", 1 / 2, "shoulder", "elbow"),
    ("triceps_mm", "radiale", 1 / 2, "shoulder", "radiale"),  # ISAK: acromiale to radiale
    ("thigh_mm", "standing", 1 / 2, "groin", "kneecap"),
    ("thigh_mm", "seated", 1 / 2, "groin", "kneecap"),
    ("waist_midpoint_cm", "", 1 / 2, "rib", "hip"),
    ("thigh_mid_girth_cm", "", 1 / 2, "groin", "kneecap"),
    ("arm_relaxed_girth_cm", "", 1 / 2, "shoulder", "elbow"),
)
# The biceps, level with the triceps or 1 cm above it, goes by the mark of the triceps.
MARKED = {name for name, *_ in MARKS}
# Direction of the fold, and whether the site itself was read (the first text of each variant).
SITES = {
    ("chest_mm", "half"): ("diagonal", VERIFIED),
    ("chest_mm", "third"): ("diagonal", MEMORY),
    ("midaxillary_mm", "vertical"): ("vertical", VERIFIED),
    ("midaxillary_mm", "horizontal"): ("horizontal", MEMORY),
    ("triceps_mm", "olecranon"): ("vertical", "partly verified"),  # the bent elbow was not read
    ("triceps_mm", "radiale"): ("vertical", MEMORY),
    ("biceps_mm", "1cm_above"): ("vertical", VERIFIED),
    ("biceps_mm", "level"): ("vertical", VERIFIED),
    ("subscapular_mm", "below_tip"): ("diagonal", VERIFIED),
    ("subscapular_mm", "2cm_along"): ("diagonal", VERIFIED),
    ("abdominal_mm", "vertical_2cm"): ("vertical", VERIFIED),
    ("abdominal_mm", "vertical_5cm"): ("vertical", VERIFIED),
    ("abdominal_mm", "horizontal_3cm"): ("horizontal", MEMORY),
    ("suprailiac_anterior_mm", ""): ("diagonal", VERIFIED),
    ("suprailiac_midaxillary_mm", ""): ("diagonal", VERIFIED),
    ("supraspinale_mm", ""): ("diagonal", MEMORY),
    ("thigh_mm", "standing"): ("vertical", "partly verified"),  # nor was the posture
    ("thigh_mm", "seated"): ("vertical", MEMORY),
    ("calf_mm", ""): ("vertical", "partly verified"),  # the posture was not read
}
GIRTHS = {
    "neck_cm": VERIFIED,
    "waist_narrowest_cm": VERIFIED,
    "waist_midpoint_cm": VERIFIED,
    "waist_iliac_cm": VERIFIED,
    "abdomen_navel_cm": VERIFIED,
    "hip_cm": VERIFIED,
    "thigh_upper_girth_cm": MEMORY,
    "thigh_mid_girth_cm": VERIFIED,
    "calf_girth_cm": VERIFIED,
    "arm_relaxed_girth_cm": VERIFIED,
    "arm_flexed_girth_cm": MEMORY,
    "forearm_girth_cm": MEMORY,
    "wrist_girth_cm": MEMORY,
    "ankle_girth_cm": MEMORY,
    "height_cm": VERIFIED,
    "weight_kg": VERIFIED,
}
# Distances and levels that tell one site from its namesake.
WORDS = {
    ("abdominal_mm", "vertical_2cm"): ("2 cm", "navel"),
    ("abdominal_mm", "vertical_5cm"): ("5 cm", "navel"),
    ("abdominal_mm", "horizontal_3cm"): ("3 cm", "1 cm", "navel"),
    ("biceps_mm", "1cm_above"): ("1 cm above",),
    ("subscapular_mm", "2cm_along"): ("2 cm",),
    ("suprailiac_anterior_mm", ""): ("front", "armpit"),
    ("suprailiac_midaxillary_mm", ""): ("mid", "armpit"),
    ("waist_narrowest_cm", ""): ("rib", "hip"),
    ("waist_iliac_cm", ""): ("hip",),
    ("abdomen_navel_cm", ""): ("navel",),
    ("calf_girth_cm", ""): ("largest",),
    ("wrist_girth_cm", ""): ("narrowest",),
}


@pytest.mark.parametrize(("name", "variant", "share", "first", "last"), MARKS)
def test_measured_mark_equals_second_typing(
    name: str, variant: str, share: float, first: str, last: str
) -> None:
    mark = site_guide.guide_for(name, variant).mark
    assert mark is not None
    assert mark.share == pytest.approx(share, abs=1e-9)
    assert first in mark.first
    assert last in mark.last


def test_a_mark_stands_where_one_is_measured_and_nowhere_else() -> None:
    """The others are found by eye or feel: the tip of a bone, the largest or smallest level."""
    found = {
        guide.name for guide in (*site_guide.GUIDES, *site_guide.OTHERS) if guide.mark is not None
    }
    assert found == MARKED


@pytest.mark.parametrize(("name", "variant"), SITES)
def test_fold_runs_as_printed_and_says_how_sure_that_is(name: str, variant: str) -> None:
    guide = site_guide.guide_for(name, variant)
    direction, status = SITES[name, variant]
    assert direction in guide.direction
    assert not {"vertical", "horizontal", "diagonal"} - {direction} & set(guide.direction.split())
    assert guide.status == status


@pytest.mark.parametrize("name", GIRTHS)
def test_girth_says_how_sure_its_site_is(name: str) -> None:
    assert site_guide.guide_for(name).status == GIRTHS[name]


@pytest.mark.parametrize(("name", "variant"), WORDS)
def test_place_names_the_distance_or_level_in_print(name: str, variant: str) -> None:
    where = site_guide.guide_for(name, variant).where.lower()
    assert not [word for word in WORDS[name, variant] if word not in where], where


def test_every_measured_quantity_has_one_guide_and_no_other() -> None:
    names = [guide.name for guide in site_guide.GUIDES]
    assert sorted(names) == sorted(MEASURED)
    assert {guide.name for guide in site_guide.OTHERS} <= set(MEASURED)


def test_variants_are_those_a_visit_may_name() -> None:
    named = {(f"{site}_mm", word) for site, words in SITE_VARIANTS.items() for word in words}
    guides = (*site_guide.GUIDES, *site_guide.OTHERS)
    assert {(guide.name, guide.variant) for guide in guides if guide.variant} == named
    assert named == {pair for pair in SITES if pair[1]}  # those in print
    for name, word in named:
        guide = site_guide.guide_for(name, word)
        assert (guide.name, guide.variant) == (name, word)
    with pytest.raises(KeyError):
        site_guide.guide_for("triceps_mm", "seated")


# Worked by hand; none is half way between two lines of the tape.
@pytest.mark.parametrize(
    ("share", "distance", "step", "shown"),
    [
        (1 / 2, 33.4, 0.1, 16.7),
        (1 / 2, 41.0, 0.1, 20.5),
        (1 / 3, 20.0, 0.1, 6.7),  # 6.667
        (1 / 3, 17.5, 0.1, 5.8),  # 5.833
        (1 / 3, 18.0, 0.5, 6.0),
        (1 / 2, 13.25, 1 / 8, 6.625),  # 13 1/4 in: 6 5/8
        (1 / 2, 15.0, 1 / 8, 7.5),
        (1 / 3, 7.0, 1 / 8, 2.375),  # 2.333: 2 3/8 is nearer than 2 1/4
        (1 / 3, 6.5, 1 / 8, 2.125),  # 2.167: 2 1/8
    ],
)
def test_mark_stands_at_the_line_worked_by_hand(
    share: float, distance: float, step: float, shown: float
) -> None:
    assert site_guide.mark_at(share, distance, step) == pytest.approx(shown, abs=1e-9)


@pytest.mark.parametrize(("step", "lines"), [(0.1, 10), (1 / 8, 8)])
def test_mark_is_never_further_off_than_half_a_step(step: float, lines: int) -> None:
    for tenths in range(100, 500, 7):
        for share in (1 / 2, 1 / 3):
            found = site_guide.mark_at(share, tenths / 10, step)
            assert abs(found - share * tenths / 10) <= step / 2 + 1e-9
            assert found * lines == pytest.approx(round(found * lines), abs=1e-6)
