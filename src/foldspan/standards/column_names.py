"""Names by which forms call what flags and refusals rest on: such a column must not pass unseen.

Headers as they are met in English, German, French, Spanish and Italian (common practice, no source).
Each entry: the column here that is meant, and a pattern for the whole name in plain letters (lower
case, without accents, one underscore between words, without its unit).
"""

from __future__ import annotations

# where a row tells them in any words, there is no range: asked of every table, whatever else it holds
EXPECTING: tuple[tuple[str, str], ...] = (
    ("weeks_pregnant",
     r"(.*_)?(trimest\w*|ssw|gest\w*_(age|weeks?)|gestation\w*|schwangerschaftswoche\w*"
     r"|(pregnancy|pregnant)_weeks?|weeks?_(pregnant|of_pregnancy)|semaines?_de_grossesse)(_.*)?"),
    ("pregnant",
     r".*(pregnan|schwanger|gravid|enceinte|grossesse|embaraz|incinta|zwanger).*"
     r"|(is_)?(expecting|expectant)(_.*)?|.*(due_date|entbindungstermin)|edd"),
    ("birth_months_ago",
     r"(birth|last_birth|recent_birth|breast_?feeding|nursing|lactat\w+|stillzeit|stillt|stillend|allaitement"
     r"|lactancia|delivery|since_birth|last_delivery|gave_birth|geburt|letzte_geburt|entbindung"
     r"|accouchement|parto|postpartum|post_partum|postnatal|wochenbett)(_(months|weeks|days|date|vor"
     r"|ago|recently|mois|wochen|monate|monaten).*)?"
     r"|(months|weeks|days)_(since_birth|since_delivery|postpartum|post_partum|postnatal)"),
)  # fmt: skip

# asked only where the table has no such column by the name it has here
OTHER_NAMES: tuple[tuple[str, str], ...] = (
    ("sex", r"gender|sex_at_birth|biological_sex|geschl(echt)?|sexe|genre|sexo|sesso|genere|genero|m_f"
     r"|f_m|mf|w_m|m_w|sex_m_f|sex_f_m|gender_m_f"),
    ("age_years", r"ages?|alter|edad|eta|age_ans|alter_jahre|age_in_years|years_old|lebensalter"),
    ("birth_date",
     r"dob|d_o_b|(date|day|year)_of_birth|birth(day|date|_day|_year|year)|yob|born|geburts(datum|tag|jahr)"
     r"|geb|geb_dat(um)?|date_(de_)?naissance|naissance|fecha_(de_)?nacimiento|data_(di_)?nascita"),
    ("weight_kg",
     r"(body_?|current_|koerper|korper)?(weight|mass|gewicht)|bw|wt|poids|peso|body_?weight_today"
     r"|gewicht_heute|poids_actuel|peso_actual"),
    ("height_cm",
     r"(body_?)?(height|stature)|ht|(koerper|korper)?(groesse|grosse|laenge|lange)|taille|estatura|talla"
     r"|altura|altezza|statura"),
    ("waist_midpoint_cm",
     r"waist(_(girth|circumference|circ|size|line|measurement))?|waistline|wc|belly(_girth)?|abdomen"
     r"|abdominal_(girth|circumference)|taillenumfang|bauchumfang|bauch|tour_de_taille"
     r"|perimetro_abdominal|cintura|girovita|vita"),
    ("blood_pressure_mmhg",
     r"bp|rr|blood_?pressure|blutdruck|tension|tension_arterielle|pression_arterielle|presion_arterial"
     r"|presion|pressione(_arteriosa)?|bp_(sys_dia|reading|today|sitting|seated|rest)"),
    ("blood_pressure_upper_mmhg",
     r"(bp_?|rr_?|blood_?pressure_|blutdruck_|pressure_|tension_)?(sys|syst|systol\w*|sistol\w*|sbp|upper"
     r"|oberer|oben)(_?(bp|rr|pressure|blood_?pressure|value|wert))?|upper_(bp|blood_?pressure)|bps"
     r"|(oberer|systolischer)_(blutdruck|wert)|p_?sys"),
    ("blood_pressure_lower_mmhg",
     r"(bp_?|rr_?|blood_?pressure_|blutdruck_|pressure_|tension_)?(dia|diast|diastol\w*|dbp|lower"
     r"|unterer|unten)(_?(bp|rr|pressure|blood_?pressure|value|wert))?|lower_(bp|blood_?pressure)|bpd"
     r"|(unterer|diastolischer)_(blutdruck|wert)|p_?dia"),
    ("symptoms",
     r"symptom\w*|complaints?|presenting_complaints?|beschwerden?|sintom\w*|health_(problems?|complaints?)"
     r"|current_symptoms|plaintes"),
    ("conditions",
     r"(medical_|health_|known_|chronic_|existing_|pre_?existing_)*(condition|disease|illness|diagnos[ei]s)"
     r"(e?s)?|condition|(medical|health|past_medical)_history|pmh|comorbidit\w*|diagnosen?"
     r"|vorerkr|(vor)?erkrankung(en)?|krankheit(en)?|vorerkrankungen|anamnese|maladies?|antecedents(_medicaux)?"
     r"|enfermedad(es)?|malattie|patologi\w*"),
    ("medicines",
     r"(current_|regular_)?(medicines?|medications?|meds|drugs|tablets|prescriptions?)|medikamente?"
     r"|medikation|arzneimittel|medicaments?|traitements?|medicament[oi]s?|farmac[oi]s?"),
    ("eating_concern",
     r"eating_(disorder|problem|worry|issue)s?|essstorung(en)?|essstoerung(en)?|anorexia|bulimia|anorexie"
     r"|boulimie|trouble_alimentaire|scoff"),
    ("periods_stopped",
     r"amenorrh?oe?a|amenorrho?ea|amenorrhoe|no_periods?|missed_periods|periods_(absent|missing)"),
    ("grip_kg", r"(hand_?)?grip(_strength)?(_max)?|handkraft|griffkraft|force_de_prehension"),
    ("earlier_weight_kg",
     r"(previous|prior|past|last|usual|former|old|baseline|earlier)_(body_?)?weight"
     r"|weight_(before|then|earlier|last_year|\d+_?(m|months?)_ago|a_year_ago)|(fruheres|frueheres|letztes)_gewicht|poids_(habituel|anterieur)"),
    ("weight_lost_kg",
     r"weight_?(loss|lost)|lost_weight|gewichtsverlust|perte_de_poids|gewichtsabnahme"),
    ("surgery_months_ago", r"(last_|recent_)?(surgery|operation)(_months)?|months_since_surgery"),
)  # fmt: skip
