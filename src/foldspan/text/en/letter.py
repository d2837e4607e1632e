"""Wording of the letter to a clinician: what is asked, what was found, what the client knows.

A general practitioner has two minutes: what we ask and how soon comes first, then each finding once. A
finding is what was seen with this client; rules and sources stand in small print. No illness is named.
"""

from __future__ import annotations

LETTER: dict[str, str] = {
    "letter.title": "Letter to a clinician",
    "letter.to": "To",
    "letter.from": "From",
    "letter.date": "Date",
    "letter.client": "Client's name",
    "letter.birth": "Birth date",
    "letter.code": "Our code",
    "letter.about": "Age, sex in equations",
    "letter.tester": "Measured by",
    "letter.no_value": "not known",
    "letter.dear": "Dear doctor,",
    "letter.why": "Why we ask for your view, and how soon",
    "letter.why_none": "For your information",
    "letter.ask": "Please review the client {level}.",
    "letter.ask_none": "No finding calls for a referral, and no action is needed from you.",
    "letter.estimated": "We estimated this client's body fat.",
    "letter.not_estimated": "We screened this client but give no body-fat range.",
    "letter.because": "{opening} These findings met our screening rules:",
    "letter.group": "Also, {level}:",
    "letter.group_talk": "Not urgent:",
    "letter.group_reading": "Noted:",
    "letter.pressure": "{pressure} (self-reported; date of the reading not recorded)",
    "letter.borderline": "{finding} (borderline: about a {chance}0% chance)",
    "letter.self_reported": "Also self-reported",
    "letter.measured": "Measured on {day}",
    "letter.measured_no_day": "Measured (date not recorded)",
    "letter.sizes": "{sizes}.",
    "letter.bmi": "BMI {bmi}",
    "letter.folds": "Skinfolds: {folds}.",
    "letter.range": (
        "Body fat: {low}% to {high}% (80% range), best single estimate {middle}%. Reference"
        " method: {reference_method}."
    ),
    "letter.other_reference": (
        "Where a finding above says underwater weighing, it uses another reference method, which"
        " gives about 3 percentage points less."
    ),
    "letter.mass": "Fat mass: {low} to {high} (80% range).",
    "letter.no_range": "No body-fat range: {why}",
    "letter.in_doubt": "Values in doubt",
    "letter.change": "Change",
    "letter.not_known": "Not known",
    "letter.no_lab": "No blood tests were done.",
    "letter.knows": "What the client knows and agreed to",
    "letter.agreed": "The client agreed to share this letter with a clinician.",
    "letter.agreed_anew": (
        "The client first declined to share results, and agreed when asked again."
    ),
    "letter.ask_first": (
        "Whether the client agrees to share this letter is not recorded. Ask before you send"
        " it, and have them sign below; without their consent, it stays with the client."
    ),
    "letter.ask_first_careful": (
        "Whether the client agrees to share this letter is not recorded. Ask before you send it,"
        " without showing the numbers; without their consent, it is not sent. They agreed on:"
        " ______________"
    ),
    "letter.ticks": (
        "Sender, please tick: the client ☐ has read this letter, ☐ knows how soon to see a doctor."
    ),
    "letter.ticks_careful": "Sender, please tick: the client ☐ knows how soon to see a doctor.",
    "letter.careful": (
        "Eating is a worry for this client. The page that we give them shows no numbers: please"
        " ask before you mention weight, BMI or body fat."
    ),
    "letter.answer": "Your answer: anything that we should do or avoid",
    "letter.sign_client": "Client: signature, date",
    "letter.sign_clinician": "Clinician: name, signature, date",
    "letter.sign_sender": "Sender: name, role, telephone",
    "letter.note": "{number} {source} [{status}].",
    "letter.note_as": "{number} As note {other} [{status}].",
    "letter.limit": "{number} {limit}: {source} [{status}].",
    "letter.limit_as": "{number} {limit}: source as in note {other} [{status}].",
    "letter.closing": (
        "Screening by a trainer, not a diagnosis; your judgement and local rules come first."
        " Across many people the ranges contain the true value about as often as stated; in one"
        " person all methods can be wrong in the same direction."
    ),
}
# code of a rule → what its findings come to, where the values alone would not say why they are told
TOPICS: dict[str, str] = {
    "belly_urgent": "Abdominal changes with other signs",
    "thirst_urgent": "Marked thirst with other signs",
    "pressure_very_high": "Very high reading",
    "pressure_raised": "High reading",
    "pregnancy_signs": "In pregnancy or the months after a birth",
    "bmi_severely_low": "Very low weight",
    "bmi_clearly_low": "Low weight",
    "bmi_low_with_fast_loss": "Low weight, and fast weight loss",
    "thin_for_age_severely": "Very low weight at this age",
    "thin_for_age": "Low weight at this age",
    "low_weight_limb_severely": "Very low weight, allowing for a missing limb",
    "low_weight_limb": "Low weight, with a limb missing",
    "bmi_low_older": "Low weight for this age",
    "bmi_light_older": "Weight on the light side for this age",
    "bmi_low_with_loss": "Low weight, and weight loss",
    "bmi_low_for_illness": "Weight on the low side, with weight loss, illness or eating little",
    "bmi_low": "Low weight",
    "loss_fast": "Fast weight loss",
    "loss_unplanned": "Weight loss",
    "loss_with_worry": "Weight loss, with other signs",
    "loss_large_not_asked": "Fast weight loss",
    "loss_large_undated": "Large weight loss",
    "loss_not_asked": "Weight loss",
    "loss_planned_fast": "Weight loss faster than advised",
    "height_lost": "Height loss",
    "weight_with_signs": "Weight or waist, together with other findings",
    "bmi_very_far_above": "Very high weight",
    "bmi_far_above": "High weight",
    "waist_six_tenths": "Large waist",
    "weight_and_waist": "Weight and waist above the usual range",
    "central_fat": "Large waist",
    "fat_very_low": "Very low body fat",
    "folds_very_low": "Very thin skinfolds",
    "fat_near_minimum": "Low body fat",
    "lean_low_with_loss": "Low fat-free mass, and weight loss",
    "lean_low": "Low fat-free mass",
    "muscle_and_weight": "Signs of muscle weakness, with high weight or waist",
    "muscle_signs": "Signs of muscle weakness",
    "weakness": "Signs of weakness",
    "not_well": "Unwell on the day",
    "bleeding": "May bleed or bruise easily",
    "do_not_pinch": "Sites not to be pinched",
    "belly_not_valid": "Waist not valid",
    "body_not_valid": "Equations may not fit",
    "medicines": "Medicines that shift fat or water",
    "strong_build": "Strong build",
}
