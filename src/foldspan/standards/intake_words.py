"""Words of the intake: what a client may tell before measuring, each optional, and what it means."""

from __future__ import annotations

SYMPTOMS: dict[str, str] = {
    "chest_pain": "pain or tightness in the chest",
    "breathless_at_rest": "short of breath at rest or lying flat",
    "collapse": "collapsed without warning",
    "fainting": "fainted, or nearly",
    "thoughts_of_self_harm": "thoughts of harming oneself",
    "one_leg_swollen": "one leg suddenly swollen, warm or painful",
    "swelling": "both legs, face or hands swollen; a finger leaves a dent",
    "tight_belly": "belly tight and growing fast, or a lump in it",
    "yellow_skin": "skin or eyes turned yellow",
    "fever": "fever",
    "thirst_and_urine": "much thirst and much urine",
    "vomiting_or_drowsy": "vomiting, or hard to keep awake",
    "fat_missing": "fat missing from arms, legs or the whole body",
    "one_sided_difference": "one side of the body clearly different from the other",
    "eating_little": "ill or eating little for two weeks or more",
    "weak": "weaker than before; opening jars or rising from a chair is hard",
    "slow": "walks slower than others of the same age",
    "falls": "fell in the last year",
    "stress_fractures": "stress fractures, or injuries that keep coming back",
    "sleepy_snoring": "loud snoring and sleepy by day",
    "joint_pain": "knee or hip pain that limits walking",
    "easy_bruising": "bruises easily",
}
CONDITIONS: dict[str, str] = {
    "limb_loss": "a limb, or part of one, is missing",
    "oedema": "oedema, known",
    "ascites": "fluid in the belly, known",
    "dialysis": "on dialysis",
    "diabetes": "diabetes, known or suspected",
    "high_blood_pressure": "high blood pressure, known",
    "haemophilia": "blood that clots badly",
    "hernia": "hernia of the belly",
    "stoma": "stoma",
    "lymphoedema": "lymphoedema",
    "skin_disease": "eczema, psoriasis or another disease of the skin where it would be touched",
    "wound": "broken, infected, sunburnt, scarred or very fragile skin",
    "implant": "implant, port, pump or sensor under the skin",
    "cast": "cast or brace that stays on",
    "paralysis": "paralysis of a limb or a side",
    "scoliosis": "marked curve of the spine",
}
MEDICINES: dict[str, str] = {
    "blood_thinner": "against clotting",
    "steroid": "cortisone tablets, for weeks or longer",
    "hiv_medicine": "against HIV",
    "water_tablets": "that drive water out",
}
ALL_WORDS: dict[str, str] = SYMPTOMS | CONDITIONS | MEDICINES
