"""Wording of the pages for the trainer and the clinician, and of records handed over, in English.

Values stand in braces.
"""

from __future__ import annotations

# fmt: off
STAFF_PAGES: dict[str, str] = {
    "staff.trainer": "Trainer's page",
    "staff.code": "Client",
    "staff.day": "Date",
    "staff.tester": "Tester",
    "staff.calliper": "Calliper",
    "staff.sex": "Sex used in the equations",
    "staff.age": "Age",
    "staff.note": "Note",
    "staff.athlete": "Athlete",
    "staff.years": "{years} years",
    "staff.yes": "yes",
    "staff.female": "female",
    "staff.male": "male",
    "staff.both": "both: equations for women and for men, side by side",
    "staff.by_female": "Equations for women",
    "staff.by_male": "Equations for men",
    "staff.answer": "body fat {low}% to {high}% (80% range).",
    "staff.flags": "Flags",
    "staff.no_flags": "None.",
    "staff.flag": "{level}: {text} Source: {source}.",
    "staff.no_range": "No range for this visit",
    "staff.range": "Range",
    "staff.range_lead": (
        "Body fat: {low}% to {high}% (80% range), very likely {lowest}% to {highest}% (95%"
        " range). Best single estimate {middle}%. {reference}"
    ),
    "staff.masses": (
        "Best estimate: fat mass {fat} + fat-free mass {lean} = {weight}. Fat mass: {low} to"
        " {high} (80% range)."
    ),
    "staff.methods": "Methods",
    "staff.method": "method",
    "staff.percent": "body fat [%]",
    "staff.se": "SEE",
    "staff.weight": "weight [%]",
    "staff.equations_used": "equations",
    "staff.se_means": (
        "SEE: standard error of estimate. Weight 0: this method adds no information beyond"
        " the others."
    ),
    "staff.elsewhere": "results from elsewhere",
    "staff.why": "Why the methods differ",
    "staff.again": "Measure again first",
    "staff.pair": (
        "{high} above {low}: {points} percentage points {form} ({on_reference_method} on the same"
        " reference method), made up of"
    ),
    "staff.reason": "reason",
    "staff.points": "points",
    "staff.body_fat": "Body fat",
    "staff.needed": "For {high} and {low} to agree, one of these would have to change:",
    "staff.since": "From {earlier} to {later}.",
    "staff.raw": "Skinfolds and girths (no equation involved)",
    "staff.measure": "measure",
    "staff.before": "before",
    "staff.now": "now",
    "staff.amount": "change",
    "staff.likely": "80% range",
    "staff.real_from": "MDC",
    "staff.real": "real",
    "staff.first_visit": "the first visit",
    "staff.this_visit": "this visit",
    "staff.mass_change": "{what}: {earlier} to {later}.",
    "staff.mass_change_real": "{what}: {earlier} to {later}, more than measurement error.",
    "staff.weight_is": "Weight",
    "staff.fat_mass_is": "Fat mass",
    "staff.unexplained": "unexplained",
    "staff.next": "What to measure next",
    "staff.nothing_next": "Nothing else would noticeably narrow the range.",
    "staff.repeat": (
        "The most useful repeat is {site}: it would narrow the range by {points} points."
    ),
    "staff.sites": "Sites",
    "staff.site": "site",
    "staff.readings": "readings",
    "staff.accepted": "value used",
    "staff.reading_se": "SE",
    "staff.remark": "remark",
    "staff.third": "take a third reading",
    "staff.unsteady": "re-mark and measure again",
    "staff.at_least": "end of the calliper's scale; equations use 10% more",
    "staff.over_clothing": "over clothing",
    "staff.left_side": "left side",
    "staff.own_errors": (
        "SE at {count} sites is from the tester's own technical error, elsewhere from published"
        " values."
    ),
    "staff.published_errors": (
        "SE is from published technical errors and these repeats; the tester's own (foldspan"
        " precision) would be better, if available."
    ),
    "staff.could_not": "Not taken: {what}.",
    "staff.equations": "Equations used",
    "staff.key": "equation",
    "staff.reference_method": "reference method",
    "staff.source": "source",
    "staff.left_out": "Left out",
    "staff.left_line": "{count}: {why}",
    "staff.bands": "Health categories, with probabilities",
    "staff.band": "{name}, {shown}: {text}.",
    "staff.outside": "Results from elsewhere",
    "staff.change": "Change",
    "staff.left_out_visit": "Not included in the trend: visit of {day}: {why}.",
    "staff.day_not_noted": "a day that was not recorded",
    "staff.cautions": "Cautions",
    "staff.soon.now": "immediately",
    "staff.soon.today": "the same day (urgent)",
    "staff.soon.days": "within a few days",
    "staff.soon.weeks": "within two weeks",
    "staff.soon.talk": "not urgent",
    "staff.soon.reading": "for information",
    "staff.in_doubt": "Values in doubt",
    "staff.row_no_range": "This letter gives no body-fat range; the findings do not depend"
                          " on one.",
    "staff.nothing_asked": (
        "No health questions were answered: symptoms, medicines and earlier weight are not"
        " known."
    ),
    "staff.no_pressure": "Blood pressure was not measured or reported.",
    "staff.none_taken": "not enough measured",
    "staff.none_fits": "measured, but no suitable equation",
    "picture.method_value": "{percent}% ± {se}, weight {weight}%",
    "picture.equation_value": "{percent}% ± {se}",
    "picture.left_out": "Left out: {why}",
    "picture.equation_count": "{count} hollow (left out)",
    "picture.left_note": "{count} left out, no value: {why}",
    "caption.equations": (
        "Bars: each equation's own range; the dot is its estimate. Hollow: left out. Shaded:"
        " the final range."
    ),
    "picture.budget": "Sources of uncertainty in the range: {rows}.",
    "picture.share": "{share}%",
    "picture.budget_axis": "share of the variance (%)",
    "picture.narrowing": (
        "What would narrow the range, now {now} percentage points wide, and to what width:"
        " {rows}."
    ),
    "picture.narrowing_value": "to {width} ({minutes} min)",
    "picture.narrowing_axis": "width of the 80% range (percentage points)",
    "picture.now": "now {width}",
    "staff.budget": "Sources of uncertainty",
    "caption.budget": "The shares add up to 100% of the uncertainty of the range.",
    "caption.narrowing": "Each bar: width of the range if that were measured too.",
    "picture.profile": "Each site, with its centile if there is a reference: {rows}.",
    "caption.profile": (
        "Dot: this client. Bar: 5th to 95th centile of US {people} (NHANES 1999-2002), the dark"
        " part 25th to 75th; it says nothing about health."
    ),
    "picture.profile_value": "{value} {unit}, {centile}",
    "picture.profile_title": "{kind}; bars: 5th to 95th centile of US {people}",
    "picture.skinfold": "Skinfolds",
    "picture.girth": "Girths",
    "picture.profile_axis": "{unit}",
    "picture.row": "{name} {value}",
}

# said to whoever writes a page, beside it
PAGE_REMARKS: dict[str, str] = {
    "no_days": (
        "A visit has no date: visits are used in the order given, and the page describes the"
        " last one."
    ),
    "same_day": "Two visits have the same date: has one been given twice?",
    "no_glyphs": (
        "Some characters are missing from the PDF font and print as squares; .html shows"
        " them."
    ),
    "wants_none": (
        "The client preferred not to see the results that day: ask before you hand this over."
    ),
    "said_no": (
        "The book says that the client declined sharing; this letter says that they agreed when"
        " asked again."
    ),
}

MANY_PAGES: dict[str, str] = {
    "end": "{written} of {wanted} pages written to {folder}.",
    "before": "Pages written before this one: {count}.",
}

FHIR_WORDS: dict[str, str] = {
    "no_code": "a client without a code",
    "no_site": "a site that was not named",
    "no_reason": "no reason was noted",
    "masked": "deliberately left out of this copy",
    "code.bmi": "body mass index",
    "code.skinfold": "skinfold thickness, {site}",
    "code.girth": "girth, {site}",
    "code.breadth": "breadth, {site}",
    "code.sex_used": "sex used in the equations; not an administrative gender",
    "code.age": "age on the day of the visit",
    "left": "{site}, left side",
    "patient": "Sex used in the equations: {sex}. Age{day}: {age} years.",
    "code.fat_percent": "body fat, estimated, percent of weight",
    "code.one_method": "body fat by one method, percent of weight; not the combined estimate",
    "code.fat_mass": "fat mass, estimated",
    "code.fat_free_mass": "fat-free mass, estimated: weight minus fat mass",
    "code.blood_pressure": "blood pressure",
    "code.systolic": "systolic blood pressure",
    "code.diastolic": "diastolic blood pressure",
    "questions": "pre-screening questions: symptoms, conditions, medicines and others",
    "question": "pre-screening question: {question}",
    "answered_none": "answered none or no",
    "not_asked": "not asked or not answered",
    "note.pressure": (
        "Self-reported before measuring; the date of the reading is not recorded."
    ),
    "code.flag": "finding that met a screening rule; not a diagnosis",
    "range_80": "80% range (80% prediction interval)",
    "range_95": "95% range (95% prediction interval)",
    "standard_error": "standard error",
    "method.equation": (
        "equation {key} ({source}), developed against {built}; reference method {reference_method}"
    ),
    "method.family": "all usable equations based on {family}; reference method {reference_method}",
    "method.range": (
        "combined range of the usable methods, by foldspan; reference method {reference_method};"
        " equations for {sex}, age {age}"
    ),
    "method.outside": "external result: {method}, {day}",
    "method.rule": "screening rule {code} ({source}; {status})",
    "note.readings": "Readings in the order taken: {readings} {unit}.",
    "note.over_clothing": (
        "Measured over one thin layer of clothing; the published average was subtracted."
    ),
    "note.left_side": "Taken on the left side.",
    "note.variant": "Measured at this variant of the site: {variant}.",
    "note.weight": "Share in the combined range: {weight}%.",
    "note.local": "{sentence}",
    "note.range_means": (
        "Across many people the range contains the true value about as often as stated;"
        " agreement of methods: {verdict}. Screening, not a diagnosis."
    ),
}
# fmt: on
