"""Answer words: how forms say yes, no and a sex, in the languages whose headers are known as well.

Common practice, no source. M is male (m, mann, masculin), but beside Spanish words it may be mujer.
"""

from __future__ import annotations

YES = (
    "true", "t", "1", "1.0", "yes", "y", "ja", "j", "oui", "si", "sí", "sì", "x", "✓", "✔", "☑",
    "positive",
    "positiv",
)  # fmt: skip
NO = (
    "", "false", "f", "0", "0.0", "no", "n", "nein", "non", "nee", "none", "never", "nie", "jamais",
    "nope",
    "nil", "☐", "negative", "negativ", "does not apply", "not applicable", "entfällt", "trifft nicht zu",
)  # fmt: skip
# beside a plain no, in a column about a pregnancy
NOT_PREGNANT = (
    "not pregnant", "nicht schwanger", "pas enceinte", "no embarazada", "non incinta", "non enceinte",
    "male", "man", "postmenopausal", "menopause", "after the menopause", "hysterectomy",
)  # fmt: skip
SEX_WORDS: dict[str, tuple[str, ...]] = {
    "female": (
        "female", "f", "f.", "fem", "fem.", "femal", "woman", "w", "w.", "weiblich", "weibl.", "weibl",
        "frau", "femme", "féminin", "feminin", "femenino", "femenina", "mujer", "donna", "femmina", "♀",
        "lady", "girl", "mädchen", "fille", "mrs", "mrs.", "ms", "ms.",
    ),
    "male": (
        "male", "m", "m.", "man", "männlich", "maennlich", "männl.", "mann", "homme", "masculin",
        "masculino", "hombre", "varón", "uomo", "maschio", "♂", "boy", "junge", "garçon", "mr", "mr.",
        "herr",
    ),
}  # fmt: skip
# words for a sex beside which M may stand for mujer
SPANISH_SEXES = ("h", "h.", "hombre", "hombres", "varón", "varon", "mujer", "mujeres")
MAY_BE_MUJER = ("m", "m.")
# which equations fit is left open
EITHER_SEX = ("both", "either", "beide", "les deux", "ambos")
# complaints and conditions that say nothing about a range, a flag or a measurement here: understood, and
# left where they stand (ours)
NO_MATTER = (
    "asthma", "hay fever", "hayfever", "allergy", "allergies", "pollen allergy", "nut allergy",
    "migraine",
    "migraines", "headache", "headaches", "back pain", "backache", "neck pain", "shoulder pain", "cold",
    "a cold", "sore throat", "cough", "runny nose", "tired", "tiredness", "fatigue", "stress",
    "stressed",
    "insomnia", "poor sleep", "heartburn", "reflux", "acid reflux", "acne", "depression", "anxiety",
    "adhd",
    "high cholesterol", "raised cholesterol", "cholesterol", "underactive thyroid", "hypothyroidism",
    "overactive thyroid", "arthritis", "osteoarthritis", "osteoporosis", "gout", "tinnitus", "glasses",
    "short sighted", "nil of note", "nad", "dizzy", "well controlled", "no known conditions",
    "no known diseases", "nkda",
    "feels fine", "feeling fine", "gerd",
    "ibs", "irritable bowel", "pcos", "endometriosis", "copd", "dizziness", "müdigkeit", "sinusitis",
    "schilddrüsenunterfunktion", "hashimoto", "psychotherapy", "anaemia", "anemia", "iron deficiency",
    "eczema in childhood", "appendectomy", "vegetarian", "vegan", "non smoker", "non-smoker", "smoker",
    "ex smoker", "under control", "treated", "with tablets", "healthy", "fit",
    "well", "feeling well", "fine", "ok", "good",
    "gesund", "keine beschwerden", "rückenschmerzen", "kopfschmerzen", "müde", "heuschnupfen",
    "allergie",
    "migräne", "asthme", "mal de dos", "en bonne santé", "aucun", "aucune", "keine", "keiner", "kein",
    "ninguno", "ninguna", "nessuno", "nessuna", "rien", "nichts", "nada", "niente", "ohne", "sans",
    "o. b.",
    "o.b.", "unremarkable", "nothing known", "none known", "nil known", "no symptoms", "no conditions",
    "no complaints", "not known", "unauffällig", "ras", "r.a.s.", "néant",
)  # fmt: skip
