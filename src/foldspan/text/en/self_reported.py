"""Wording of what was self-reported: short words for the clinician and the trainer, by question."""

from __future__ import annotations

# word of the intake → what a clinician reads; a colleague's shorthand, no diagnosis of ours
SELF_REPORTED_WORDS: dict[str, str] = {
    "chest_pain": "chest pain or tightness",
    "breathless_at_rest": "short of breath at rest or lying flat",
    "collapse": "collapse without warning",
    "fainting": "fainting or near-fainting",
    "thoughts_of_self_harm": "thoughts of self-harm",
    "one_leg_swollen": "one leg suddenly swollen, warm or painful",
    "swelling": "swelling of both legs, face or hands that pits on pressure",
    "tight_belly": "tight, fast-growing belly, or a lump in it",
    "yellow_skin": "yellow skin or eyes",
    "fever": "fever",
    "thirst_and_urine": "marked thirst and passing a lot of urine",
    "vomiting_or_drowsy": "vomiting or drowsiness",
    "fat_missing": "fat missing from the limbs or the whole body",
    "one_sided_difference": "one side of the body clearly different from the other",
    "eating_little": "ill or eating little for two weeks or more",
    "weak": "weaker than before",
    "slow": "walking more slowly than others of the same age",
    "falls": "a fall in the last year",
    "stress_fractures": "stress fractures or recurring injuries",
    "sleepy_snoring": "loud snoring with daytime sleepiness",
    "joint_pain": "knee or hip pain that limits walking",
    "easy_bruising": "easy bruising",
    "limb_loss": "a limb, or part of one, missing",
    "oedema": "known oedema",
    "ascites": "known ascites (fluid in the belly)",
    "dialysis": "dialysis",
    "diabetes": "known or suspected diabetes",
    "high_blood_pressure": "known high blood pressure",
    "haemophilia": "a clotting disorder",
    "hernia": "abdominal hernia",
    "stoma": "stoma",
    "lymphoedema": "lymphoedema",
    "skin_disease": "skin disease at a site",
    "wound": "broken or fragile skin at a site",
    "implant": "implant, port, pump or sensor under the skin",
    "cast": "cast or brace that stays on",
    "paralysis": "paralysis of a limb or a side",
    "scoliosis": "scoliosis (marked spinal curve)",
    "blood_thinner": 'anticoagulant or antiplatelet ("blood thinner")',
    "cortisone_tablets": "oral corticosteroids for weeks or longer",
    "hiv_medicine": "antiretroviral (HIV) medicine",
    "water_tablets": 'diuretic ("water tablets")',
    "eating_concern": "worry about eating or weight, or an eating disorder (past or present)",
    "periods_stopped": "no period for three months or more",
    "anabolic_drugs": "anabolic drugs",
    "pregnant": "pregnant",
}
QUESTION_NAMES: dict[str, str] = {
    "pregnant": "pregnancy",
    "birth_months_ago": "recent birth",
    "periods_stopped": "periods stopped",
    "eating_concern": "worry about eating",
    "symptoms": "symptoms",
    "conditions": "conditions",
    "medicines": "medicines",
    "surgery_months_ago": "recent operation",
    "blood_pressure_mmhg": "blood pressure",
    "athlete": "athlete",
    "anabolic_drugs": "anabolic drugs",
    "family_background": "family background",
    "earlier_weight_kg": "earlier weight",
    "grip_kg": "grip strength",
}
# what people typed stands in a page's facts only, so these words stand in for it
OWN_WORDS = "in the client's own words; no limit depends on it"
LOSS_WORDS = {
    "wanted": "the loss was intended",
    "not_wanted": "the loss was not intended",
    "not_noted": "whether it was intended is not recorded",
}
WHEN_NOT_NOTED = "earlier, at a time that was not recorded"
ASKED_NONE = "Answered none or no: {names}."
NOT_ASKED = "Not asked or not answered: {names}."
