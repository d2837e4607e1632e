"""Wording of the client's page: headings, lines and captions, what a translation has to say too.

Values are in braces.
"""

from __future__ import annotations

# fmt: off
CLIENT_PAGE: dict[str, str] = {
    "page.title": "Your measurement",
    "page.title_careful": "Your visit",
    "page.day": "Date",
    "page.tester": "Measured by",
    "page.code": "Your code",
    "page.lead": "Your body fat: probably {low}% to {high}%",
    "page.dots": (
        "No method is exact. Each dot is an equally likely value of your body fat; 16"
        " of the 20 lie in this range."
    ),
    "page.apart": "Today's readings do not agree. Let's repeat them.",
    "page.apart_sites": "We would like to measure again: {sites}.",
    "page.apart_all": "We would like to take all of them again.",
    "page.until_then": (
        "Until then, all we can say is that your body fat is probably between {low}% and"
        " {high}%."
    ),
    "page.chance": "{band} ({chance} in 100)",
    "zone.lighter_match": "below usual",
    "zone.above_match": "above usual",
    "zone.well_above_match": "well above usual",
    "zones.all": "All 20 dots lie in the zone “{zone}”.",
    "page.almost_sure": "more than 99",
    "page.hardly": "less than 1",
    "page.change": "What changed",
    "page.weight_changed": "Your weight went from {earlier} to {later}.",
    "page.measured_unsure_too": "May be measurement error: {what}.",
    "page.site_changed": "{site}, {earlier} to {later}",
    "page.weight_real": (
        "Your weight went from {earlier} to {later}, a clear change."
    ),
    "page.share_no_telling": "As a share of your weight, fat may be unchanged.",
    "page.next": "Next steps",
    "page.first_days": "First, see a doctor in the next few days. Take this page with you.",
    "page.first_weeks": "First, see a doctor within two weeks. Take this page with you.",
    "page.repeat_soon": "Please do not rely on these numbers yet. Measure everything again soon.",
    "page.strength": (
        "From age 65, strength and how well you walk matter more than body-fat percentage."
    ),
    "page.ask": "Ask us or a doctor anything you like.",
    "page.contact": "Contact",
    "page.methods": "What each method gave",
    "page.read_or_not": (
        "You can skip the numbers if you like. If any worry you, talk to us or your"
        " doctor."
    ),
    "page.measured": "Measured: {what}.",
    "page.weight": "weight",
    "page.height": "height",
    "page.printed": "We used the equations exactly as they were published.",
    "page.sources": "Categories: {names}.",
    "standard.who": "WHO",
    "page.not_verified": "{name} (limits not yet checked against the source)",
    "page.screening": "This is a screening check, not a diagnosis.",
    "measure.fat_percent": "Fat",
    "measure.bmi": "Weight for your height",
    "measure.waist_to_height": "Waist",
    "family.skinfold": "skin folds",
    "family.girth": "girths",
    "family.mass_height": "weight and height",
    "family.waist_height": "waist and height",
    "picture.likely": "{low}% to {high}%",
    "picture.span": "{low}% to {high}%",
    "picture.you": "you: {value}",
    "picture.axis.fat_percent": "body fat (% of weight)",
    "picture.axis.bmi": "body mass index (kg/m²)",
    "picture.axis.waist_to_height": "waist divided by height",
    "picture.method": "{name} {low}% to {high}%",
    "picture.agreement": (
        "What each method gives, with its own range: {methods}. All methods together,"
        " shaded behind them: {low}% to {high}%."
    ),
    "picture.bands": (
        "Categories of {measure} by {name}, from low to high, with the chance of each:"
        " {chances}. The range is shaded behind them."
    ),
    "picture.dots": (
        "Twenty dots on a line of body fat, each equally likely; 16 lie between {low}% and"
        " {high}%."
    ),
    "picture.in_100": "{chance} in 100",
    "picture.trend": (
        "Body-fat range at each visit: {visits}. From visit to visit: {steps}."
    ),
    "picture.trend_whole": "Over all visits: {points}.",
    "picture.visit": "{day} {low}% to {high}%",
    "picture.real": "{points} (clear change)",
    "picture.not_real": "no clear change",
    "picture.not_compared": "not compared",
    "picture.other_sites": "other sites",
    "caption.agreement": "Thin lines: each method's range and best estimate. Thick line: all together.",
    "caption.one_way": "Thin line: its own range and best estimate. Thick line: the final range.",
    "caption.bands": "Darker: more likely; paler: less likely.",
    "caption.trend": (
        "Bars: each day's range. Solid line: clear change, even if bars overlap; dotted: no"
        " clear change."
    ),
    "zone.healthy_match": "usual for {sex, select, female {women} other {men}} of your age",
    "zones.two": "{first} of the 20 dots lie in the zone “{zone}”; {second} in “{second_zone}”.",
    "zones.three": "{first} of the 20 dots lie in the zone “{zone}”; {second} in “{second_zone}”,"
        " {third} in “{third_zone}”.",
    "zones.four": "{first} of the 20 dots lie in the zone “{zone}”; {second} in “{second_zone}”,"
        " {third} in “{third_zone}”, {fourth} in “{fourth_zone}”.",
    "page.masses": "Of your {weight}, about {fat_low} to {fat_high} {unit} is fat; every body"
        " needs some. The other {rest_low} to {rest_high} {unit} is fat-free mass: muscle, bone,"
        " organs and water.",
    "page.repeat": "Measure again in {weeks, plural, one {# week} other {# weeks}} or later, with"
        " the same person and equipment.",
    "page.repeat_then": "After that, measure again in {weeks, plural, one {# week} other {#"
        " weeks}} or later, with the same person and equipment.",
    "page.folds": "{count, plural, one {# skin fold} other {# skin folds}}",
    "page.girths": "{count, plural, one {# tape measurement} other {# tape measurements}}",
    "page.breadths": "the width of {count, plural, one {# bone} other {# bones}}",
    "page.scale": "The range is an estimate of what {reference_method, select, density"
        " {underwater weighing} other {a DXA scan}} would show.",
    "page.local": "We compared our measurements with {reference_method, select, density"
        " {underwater weighing} other {a DXA scan}}, and this range takes that into account.",
    "page.real": "{since, select, last {Since last time,} first {Since the first time,} over"
        " {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} your body fat has gone {way, select, down {down} other {up}} by about {points,"
        " plural, one {# percentage point} other {# percentage points}} (range {low} to {high})."
        " This is more than measurement error.",
    "page.maybe": "{since, select, last {Since last time,} first {Since the first time,} over"
        " {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} your body fat has probably gone {way, select, down {down} other {up}} (true"
        " for about {chance} of 20 people like you). It may also be measurement error.",
    "page.no_telling": "{since, select, last {Since last time,} first {Since the first time,}"
        " over {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} there is no clear change in your body fat. Small differences come from"
        " measuring.",
    "page.not_compared": "{since, select, last {Since last time,} first {Since the first time,}"
        " over {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} we cannot compare: we took too few of the same measurements.",
    "page.fat_only": "{since, select, last {Since last time,} first {Since the first time,} over"
        " {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} you {way, select, down {lost} other {gained}} about {amount} of fat (range"
        " {low} to {high}). This is more than measurement error.",
    "page.measured_real": "{since, select, last {Since last time,} first {Since the first time,}"
        " over {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other {Since"
        " {day},}} a clear change: {what}.",
    "page.measured_unsure": "{since, select, last {Since last time,} first {Since the first"
        " time,} over {Over {visits, plural, one {# visit} other {# visits}}, since {day},} other"
        " {Since {day},}} a change that may be measurement error: {what}.",
    "page.fat_mass": "That is {amount} {way, select, down {less} other {more}} fat (range {low}"
        " to {high}).",
    "page.share_maybe": "As a share of your weight, fat has probably gone {way, select, down"
        " {down} other {up}} (true for about {chance} of 20 people like you).",
    "page.folds_changed": "the sum of your {count, plural, one {# skin fold} other {# skin"
        " folds}}, {earlier} to {later}",
}

# who set the bands that a client is shown, and when; WHO is written as a language has it
STANDARD_NAMES: dict[str, str] = {
    "gallagher2000": "Gallagher 2000",
    "nhanes2017": "NHANES 2017–2018",
    "nice2022_waist": "NICE 2022",
    "who2007_growth": "WHO 2007",
    "winter2014": "Winter 2014",
    "nice2023_bmi": "NICE 2023",
    "who2000_bmi": "WHO 2000",
}
# fmt: on
