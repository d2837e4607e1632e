"""Wording of the pages to hand over: headings, lines and captions; the client's part in each language.

``CLIENT_PAGE`` is what a translation has to say beside the client's other sentences; ``STAFF_PAGES``
are for the trainer and the clinician, in English. Values stand in braces.
"""

from __future__ import annotations

# fmt: off
CLIENT_PAGE: dict[str, str] = {
    "page.title": "Your measurement",
    "page.title_careful": "Your visit",
    "page.day": "Day",
    "page.tester": "Measured by",
    "page.code": "Your code",
    "page.why": "No way to measure fat is exact, so this is a range.",
    "page.bands": "Where that likely lies",
    "page.band": "{measure}: {chances}.",
    "page.chance": "{band} ({chance} in 100)",
    "page.almost_sure": "more than 99",
    "page.hardly": "less than 1",
    "page.masses": "Fat and lean mass",
    "page.fat_mass": "Of your {weight}, likely {low} to {high} is fat; every body needs some.",
    "page.lean_mass": "The rest, {low} to {high}, is lean mass: muscle, bone, organs and water.",
    "page.change": "What changed",
    "page.since_day": "Since {day}",
    "page.since_last": "Since last time",
    "page.over_visits": "Over {visits} visits since {day}",
    "page.real_down": (
        "{since} your body fat went down, by about {points} percentage points (likely {low} to"
        " {high}). That is more than chance explains."
    ),
    "page.real_up": (
        "{since} your body fat went up, by about {points} percentage points (likely {low} to {high})."
        " That is more than chance explains."
    ),
    "page.maybe_down": (
        "{since} your body fat probably went down ({chance} chances in 100); it may also be chance."
    ),
    "page.maybe_up": (
        "{since} your body fat probably went up ({chance} chances in 100); it may also be chance."
    ),
    "page.no_telling": (
        "{since}: we cannot tell whether your body fat changed. Measuring alone makes such differences."
    ),
    "page.not_compared": "{since}: too little was measured both times to compare.",
    "page.weight_changed": "Your weight went from {earlier} to {later}.",
    "page.since_first": "Since the first time",
    "page.measured_real": "{since}, a clear change: {what}.",
    "page.measured_unsure": "{since}, a change that may be chance: {what}.",
    "page.measured_unsure_too": "May be chance: {what}.",
    "page.folds_changed": "the sum of your {count} skin folds {earlier} to {later}",
    "page.site_changed": "{site} {earlier} to {later}",
    "page.weight_real": (
        "Your weight went from {earlier} to {later}, a real change."
    ),
    "page.fat_mass_down": "That is {amount} less fat (likely {low} to {high}).",
    "page.fat_mass_up": "That is {amount} more fat (likely {low} to {high}).",
    "page.fat_only_down": (
        "{since} you lost about {amount} of fat (likely {low} to {high}). That is more than chance"
        " explains."
    ),
    "page.fat_only_up": (
        "{since} you gained about {amount} of fat (likely {low} to {high}). That is more than chance"
        " explains."
    ),
    "page.share_maybe_down": (
        "As a share of your weight, fat probably went down ({chance} chances in 100)."
    ),
    "page.share_maybe_up": (
        "As a share of your weight, fat probably went up ({chance} chances in 100)."
    ),
    "page.share_no_telling": "As a share of your weight, fat may still be the same.",
    "page.next": "Next steps",
    "page.first_days": "First see a doctor, in the next few days. Take this page with you.",
    "page.first_weeks": "First see a doctor, within two weeks. Take this page with you.",
    "page.repeat": "Have it measured again in {weeks} weeks or later: same person, same tools.",
    "page.repeat_soon": "Have everything measured once more, soon, before you rely on these numbers.",
    "page.repeat_then": (
        "After that, have it measured again in {weeks} weeks or later: same person, same tools."
    ),
    "page.strength": "From 65 on, strength and walking tell more than a percentage of fat.",
    "page.ask": "Ask us or a doctor whatever you would like to know.",
    "page.to_know": "Good to know",
    "page.end": "If a number worries you, talk to us or to a doctor. You need not look at it.",
    "page.measured": "Measured: {what}.",
    "page.folds": "{count} skin folds",
    "page.one_fold": "1 skin fold",
    "page.girths": "{count} girths",
    "page.one_girth": "1 girth",
    "page.breadths": "breadths of {count} bones",
    "page.one_breadth": "breadth of 1 bone",
    "page.weight": "weight",
    "page.height": "height",
    "page.scale": "The range is stated as {scale} would read it.",
    "page.local": "We compared our measurements with {scale}; this range takes that into account.",
    "page.printed": "We used the published formulas exactly as they are printed.",
    "page.sources": "Bands: {names}.",
    "page.not_verified": "{name} (limits not yet checked in print)",
    "page.screening": "This is screening, not a diagnosis.",
    "scale.density": "underwater weighing",
    "scale.dxa": "a DXA scan",
    "measure.fat_percent": "Fat",
    "measure.bmi": "Weight for height",
    "measure.waist_to_height": "Waist for height",
    "family.skinfold": "skin folds",
    "family.girth": "girths",
    "family.mass_height": "weight for height",
    "family.waist_height": "waist for height",
    "picture.likely": "likely {low} to {high} %",
    "picture.span": "{low} to {high} %",
    "picture.you": "you: {value}",
    "picture.axis.fat_percent": "body fat, percent of weight",
    "picture.axis.bmi": "body mass index, kg/m²",
    "picture.axis.waist_to_height": "waist divided by height",
    "picture.method": "{name} {low} to {high} percent",
    "picture.agreement": (
        "What each way of measuring says, each with its own likely range: {methods}. The likely range of"
        " all together, behind them: {low} to {high} percent."
    ),
    "picture.bands": (
        "The bands of {measure} by {name}, from low to high, with the chance of each: {chances}. Behind"
        " them the likely range."
    ),
    "picture.in_100": "{chance} in 100",
    "picture.trend": (
        "The likely range of fat at each visit: {visits}. From visit to visit: {steps}."
    ),
    "picture.trend_whole": "Over all visits: {points}.",
    "picture.visit": "{day} {low} to {high} percent",
    "picture.real": "{points} (real)",
    "picture.not_real": "may be chance",
    "picture.not_compared": "not compared",
    "picture.other_sites": "other sites",
    "caption.agreement": "Bars: each way's own range, a dot its middle. Shaded: all together.",
    "caption.one_way": "Bar: its own range, a dot its middle. Shaded: your range.",
    "caption.bands": "Darker: where you likely are; paler: where you rarely are.",
    "caption.trend": (
        "Bars: each day's range. Thick line: real, even if bars overlap; dotted: may be chance."
    ),
}

# who set the bands that a client is shown, and when: a name is the same in every language
STANDARD_NAMES: dict[str, str] = {
    "gallagher2000": "Gallagher 2000",
    "nhanes2017": "our computing on NHANES 2017-2018",
    "nice2022_waist": "NICE 2022",
    "who2007_growth": "WHO 2007",
    "winter2014": "Winter 2014",
    "nice2023_bmi": "NICE 2023",
    "who2000_bmi": "WHO 2000",
}

STAFF_PAGES: dict[str, str] = {
    "staff.trainer": "Trainer's page",
    "staff.clinician": "Letter to a clinician",
    "staff.code": "Client",
    "staff.day": "Day",
    "staff.tester": "Tester",
    "staff.calliper": "Calliper",
    "staff.sex": "Sex (as the equations have it)",
    "staff.age": "Age",
    "staff.note": "Note",
    "staff.athlete": "Athlete",
    "staff.years": "{years} years",
    "staff.yes": "yes",
    "staff.female": "female",
    "staff.male": "male",
    "staff.both": "left open: the equations for women and for men, side by side",
    "staff.by_female": "By the equations for women",
    "staff.by_male": "By the equations for men",
    "staff.answer": "body fat {low}% to {high}% (80% range).",
    "staff.flags": "Flags",
    "staff.no_flags": "None.",
    "staff.flag": "{level}: {text} Source: {source}.",
    "staff.no_range": "No range for this visit",
    "staff.range": "Range",
    "staff.range_lead": (
        "Body fat likely between {low} and {high} % (8 chances in 10), hardly outside {lowest} to"
        " {highest} % (19 chances in 20 inside). Middle {middle} %. {reference}"
    ),
    "staff.masses": (
        "In the middle: fat {fat} + lean {lean} = {weight}. Likely {low} to {high} of it is fat."
    ),
    "staff.methods": "Methods",
    "staff.method": "method",
    "staff.percent": "body fat [%]",
    "staff.se": "±",
    "staff.weight": "weight [%]",
    "staff.equations_used": "equations",
    "staff.se_means": (
        "± is one standard error. A weight of 0 says nothing that the others do not say better."
    ),
    "staff.elsewhere": "results from elsewhere",
    "staff.why": "Why they differ",
    "staff.again": "Measure again first",
    "staff.pair": "{high} above {low}: {points} points {form} ({on_scale} on one scale), made of",
    "staff.reason": "reason",
    "staff.points": "points",
    "staff.body_fat": "Body fat",
    "staff.needed": "For {high} and {low} to agree, one of these would have to be:",
    "staff.since": "From {earlier} to {later}.",
    "staff.raw": "Folds and girths, no equation in between",
    "staff.measure": "measure",
    "staff.before": "before",
    "staff.now": "now",
    "staff.amount": "change",
    "staff.likely": "likely change",
    "staff.real_from": "real from",
    "staff.real": "real",
    "staff.first_visit": "the first visit",
    "staff.this_visit": "this visit",
    "staff.mass_change": "{what}: {earlier} to {later}.",
    "staff.mass_change_real": "{what}: {earlier} to {later}; more than measurement error explains.",
    "staff.weight_is": "Weight",
    "staff.fat_mass_is": "Fat mass",
    "staff.unexplained": "not explained",
    "staff.next": "What to measure next",
    "staff.nothing_next": "Nothing that is left would narrow the range to speak of.",
    "staff.repeat": "Of all repeats, one more of {site} would help most: narrower by {points} points.",
    "staff.sites": "Sites",
    "staff.site": "site",
    "staff.readings": "readings",
    "staff.accepted": "accepted",
    "staff.remark": "remark",
    "staff.third": "take a third reading",
    "staff.unsteady": "mark again and repeat",
    "staff.at_least": "end of the scale; the equations take a tenth more",
    "staff.over_clothing": "over clothing",
    "staff.left_side": "left side",
    "staff.own_errors": (
        "± of {count} sites rests on the tester's own technical error, the others on published ones."
    ),
    "staff.published_errors": (
        "± rests on published technical errors and these repeats; the tester's own (foldspan precision)"
        " would be better."
    ),
    "staff.could_not": "Not taken: {what}.",
    "staff.equations": "Equations in use",
    "staff.key": "equation",
    "staff.scale": "built on",
    "staff.source": "source",
    "staff.left_out": "Left out",
    "staff.left_line": "{count}: {why}",
    "staff.bands": "Health bands, as chances",
    "staff.band": "{name}, {shown}: {text}.",
    "staff.outside": "Results from elsewhere",
    "staff.change": "Change",
    "staff.left_out_visit": "Left out of the trend: visit of {day}: {why}.",
    "staff.day_not_noted": "a day not noted",
    "staff.cautions": "Cautions",
    "staff.dear": "Dear doctor,",
    "staff.referred": (
        "This client was measured for a range of body fat. By the rules below, a clinician's view is"
        " asked for: {level}."
    ),
    "staff.not_referred": (
        "This client was measured for a range of body fat. No rule asked for a referral; this is for"
        " your information."
    ),
    "staff.soon.refer_urgently": "the same day",
    "staff.soon.refer_soon": "within two weeks",
    "staff.soon.advise": "not urgent",
    "staff.soon.inform": "for information",
    "staff.refer_soon": "within about two weeks",
    "staff.refer_urgently": "the same day",
    "staff.why_referred": "Why",
    "staff.to_know": "For your information",
    "staff.how_soon": "how soon",
    "staff.rule": "rule, and what was found",
    "staff.status": "{source} [{status}]",
    "staff.in_doubt": "In doubt",
    "staff.told": "What the client told",
    "staff.row_no_range": "This letter states no range of body fat; the reasons for referral do not"
        " depend on one.",
    "staff.measures": "What was measured",
    "staff.not_measured": "What was not measured",
    "staff.not_family": "{family}: {why}",
    "staff.nothing_asked": "Nothing was asked at intake: symptoms, medicines, weight before.",
    "staff.no_pressure": "Blood pressure was not taken.",
    "staff.no_lab": "No blood was taken. Muscle strength was not measured, unless it is named above.",
    "staff.closing": (
        "This is screening by a trainer, not a diagnosis; your judgement and local rules come first. The"
        " ranges hold the truth about as often as they say, on average over people; for one person all"
        " methods can miss the same way."
    ),
    "staff.consent": "Consent",
    "staff.agreed": "The client agreed to share this page with a clinician.",
    "staff.agreed_anew": (
        "The client first said no to sharing, and agreed to it when asked again."
    ),
    "staff.ask_first": (
        "Whether the client agrees to share this page is not noted. Ask before you send it, and let them"
        " sign here; without a yes it stays with the client."
    ),
    "staff.sign_client": "Client, date",
    "staff.sign_sender": "Sender: name, role, telephone",
    "staff.none_taken": "too little taken",
    "staff.none_fits": "taken, but no equation fits",
    "picture.method_value": "{percent} ± {se} %, weight {weight} %",
    "picture.equation_value": "{percent} ± {se} %",
    "picture.left_out": "Left out: {why}",
    "picture.equation_count": "{count} hollow",
    "picture.left_note": "{count} left out without a value: {why}",
    "caption.equations": (
        "Bars: each equation's own range, a dot its middle. Hollow: left out. Shaded: the answer."
    ),
    "picture.budget": "Where the uncertainty of the range comes from: {rows}.",
    "picture.share": "{share} %",
    "picture.budget_axis": "share of the squared standard error, percent",
    "picture.narrowing": (
        "What would narrow the range, now {now} points wide, to how many points: {rows}."
    ),
    "picture.narrowing_value": "to {width} ({minutes} min)",
    "picture.narrowing_axis": "width of the 80 % range, points",
    "picture.now": "now {width}",
    "staff.budget": "Where the uncertainty comes from",
    "caption.budget": "Shares add up to the whole uncertainty of the range.",
    "caption.narrowing": "Each bar: how wide the range would be with that measurement too.",
    "picture.profile": (
        "Each site, a dot, against the span that is plausible for the sex, a bar: {rows}."
    ),
    "caption.profile": "Dot: this client. Bar: the span that is plausible for the sex.",
    "picture.profile_value": "{value} {unit}",
    "picture.skinfold": "Skinfolds",
    "picture.girth": "Girths",
    "picture.profile_axis": "{unit}",
    "picture.row": "{name} {value}",
}

# said to whoever writes a page, beside it
PAGE_REMARKS: dict[str, str] = {
    "no_days": "A visit has no date: they are taken in the order given, and the page is about the last.",
    "same_day": "Two of the visits are of one day: is one of them given twice?",
    "no_glyphs": "Some signs are not in the font of the PDF and stand as squares; .html shows them.",
    "wants_none": "The client did not want to see the results that day: ask before you hand this over.",
    "said_no": "The book holds a no to sharing; the letter says that the client agreed, asked again.",
}

FHIR_WORDS: dict[str, str] = {
    "no_code": "a client without a code",
    "masked": "left out of this copy on purpose",
    "code.bmi": "body mass index",
    "code.fat_percent": "body fat, reckoned, percent of weight",
    "code.one_method": "body fat by one method, percent of weight; not the answer",
    "code.fat_mass": "fat mass, reckoned",
    "code.lean_mass": "lean mass, reckoned: weight less fat mass",
    "code.blood_pressure": "blood pressure",
    "code.systolic": "systolic blood pressure",
    "code.diastolic": "diastolic blood pressure",
    "questions": "questions before measuring: symptoms, conditions, medicines and the rest",
    "question": "asked before measuring: {question}",
    "answered_none": "asked, answered none",
    "not_asked": "not asked, or not answered",
    "note.pressure": "As told before measuring; the date it was taken is not recorded.",
    "code.flag": "screening rule that asks for attention, no diagnosis",
    "likely": "80 % range: holds the truth in about 8 cases of 10",
    "wide": "95 % range: holds the truth in about 19 cases of 20",
    "standard_error": "standard error",
    "method.equation": "equation {key} ({source}), built on {built}; stated on the scale of {scale}",
    "method.family": "all usable equations from {family}, stated on the scale of {scale}",
    "method.range": (
        "agreement range of the usable methods, by foldspan, on the scale of {scale}; equations for"
        " {sex}, age {age}"
    ),
    "method.outside": "result from elsewhere: {method}, {day}",
    "method.rule": "rule {code} ({source}; {status})",
    "note.readings": "Readings in the order taken: {readings} {unit}.",
    "note.over_clothing": (
        "Taken over one thin layer of clothing; the published mean was taken off the value."
    ),
    "note.left_side": "Taken on the left side.",
    "note.variant": "Taken at this variant of the site: {variant}.",
    "note.weight": "Share in the agreement range: {weight} %.",
    "note.local": "{sentence}",
    "note.range_means": (
        "The range holds the truth about as often as it says, over people; verdict on the methods:"
        " {verdict}. Screening, not a diagnosis."
    ),
}
# fmt: on
