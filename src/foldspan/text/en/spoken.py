"""What a client hears or reads in a session: questions, clothing, how to stand, words said aloud."""

from __future__ import annotations

# fmt: off
ENGLISH_SPOKEN: dict[str, str] = {
    "ask.sex": "Which equations fit you best: those for women, those for men, or both? This need"
        " not be your gender; both gives two results.",
    "ask.age_years": "How old are you?",
    "ask.guardian": "Is a parent or guardian here, and will they stay?",
    "ask.go_on": "Would you like to carry on with the measurements today?",
    "ask.still": "This is what you told us last time. Is all of it still correct?",
    "tell.before_consent": "I will ask about your health, then measure your weight, your height"
        " and the places you agree to. You may skip any question and stop at any time. Everyone"
        " who uses this record book can read what is kept in it. Nothing goes to a doctor unless"
        " you agree. You can ask us to delete it at any time.",
    "tell.skip": "You may skip any question.",
    "tell.consent": "You may say no to any of these. That only changes what we measure.",
    "tell.eating_concern": "We do not have to measure today, and we will show no numbers. If"
        " eating worries you, we can tell you who can help.",
    "ask.consent.store": "May we keep what you tell us and what we measure today? If not, the"
        " results are shown once and not kept.",
    "ask.pregnant": "Are you pregnant now?",
    "ask.birth_months_ago": "Have you given birth in the last two years?",
    "ask.periods_stopped": "Have your periods stopped for three months or more, with no known"
        " reason?",
    "ask.eating_concern": "Do you have an eating disorder, or have you had one, or does eating,"
        " your weight or being measured worry you?",
    "ask.symptoms": "Have you had any of these in the last few weeks?",
    "ask.conditions": "Do you have any of these?",
    "ask.medicines": "Do you take any of these medicines?",
    "ask.surgery_months_ago": "Have you had an operation in the last year?",
    "ask.blood_pressure_mmhg": "Has your blood pressure been taken recently, and do you know the"
        " result?",
    "ask.earlier_weight_kg": "Do you know what you weighed a few months ago?",
    "ask.athlete": "Do you train hard for sport or strength on most days?",
    "ask.anabolic_drugs": (
        "If you wish to say: do you take anabolic drugs, such as testosterone? They add muscle and"
        " water, so methods based on weight overestimate fat."
    ),
    "ask.family_background": (
        "If you wish to say: what is your family background? Some health limits differ, and the"
        " range differs for Black adults."
    ),
    "more.birth_months_ago": "How many months ago was the birth?",
    "more.surgery_months_ago": "How many months ago was the operation?",
    "more.operated": "Where was the operation: on the belly, on the chest or elsewhere?",
    "more.blood_pressure_mmhg": "What was your blood pressure, such as 142/91?",
    "more.earlier_weight_kg": "How much did you weigh a few months ago?",
    "more.earlier_weight_months_ago": "How many months ago was that?",
    "ask.loss_wanted": "You weigh less than the {weight} that you told us about. Did you mean to"
        " lose weight?",
    "ask.consent.touch": "May I touch you to find the sites and place the tape?",
    "ask.consent.touch_tape": "May I touch you to place the tape?",
    "ask.consent.pinch": "May I lift folds of skin and measure them with the calliper?",
    "ask.consent.uncover": "Is it all right to move clothing aside at the sites?",
    "ask.consent.chest_folds": "This plan includes skinfolds on the chest, which can be left out."
        " May I take them?",
    "ask.consent.chest_girths": "This plan includes the chest girth, which can be left out. May I"
        " measure it?",
    "ask.consent.mark": "May I mark the skin with a pen that washes off?",
    "ask.consent.writer": "May a second person type in the numbers I read out?",
    "ask.consent.show": "Would you like to see the results today?",
    "ask.consent.share": "May we send the results to a doctor if one is needed?",
    "ask.consent.witness": "Would you like someone you trust, or someone of your own sex, to be"
        " here or to measure you?",
    "ask.prepared.skin": "Is your skin dry, without lotion?",
    "ask.prepared.rested": "So far today, have you avoided hard exercise, saunas and hot baths?",
    "ask.plan": "What would you like us to measure?",
    "plan.seven": "Seven skinfolds and the waist.",
    "plan.four": "Four skinfolds (arm, back, hip) and the waist.",
    "plan.three": "Three skinfolds and the waist.",
    "plan.tape": "Tape only, no skinfolds.",
    "plan.quick": "Weight, height and waist.",
    "plan.build": "Five skinfolds, and tape at the waist, arm and calf: shows a muscular build.",
    "plan.adaptive": "Weight, height and waist, then one place at a time, chosen as we go.",
    "tell.then_chosen": "After that we choose one place at a time. You may say no to each.",
    "bare.chest": "chest",
    "bare.side_of_chest": "side of the chest",
    "bare.upper_arm": "upper arm",
    "bare.upper_back": "upper back",
    "bare.belly": "belly",
    "bare.waistband": "skin above the hip bone (waistband lowered)",
    "bare.thigh": "thigh",
    "bare.lower_leg": "lower leg",
    "stand.scale": "Shoes and heavy clothes off and pockets empty, please. Stand still in the"
        " middle of the scale.",
    "stand.board": "Shoes off, please. Put your heels together and your back against the board,"
        " and breathe in deeply.",
    "stand.relaxed": "Please stand relaxed, with your arms hanging.",
    "stand.arm_lifted": "Please stand, and lift your right arm slightly.",
    "stand.elbow_then_hang": "Please bend your elbow to a right angle. Then let your arm hang.",
    "stand.palm_forward": "Please let your arm hang, with the palm forward.",
    "stand.belly_relaxed": "Please relax your belly, and breathe out gently.",
    "stand.arm_away": "Feet together, please, and your arm out of the way.",
    "stand.arm_across": "Please fold your arm across your chest.",
    "stand.other_leg": "Please put your weight on the other leg and bend your knee slightly.",
    "stand.foot_on_box": "Please put your foot on the box, so that hip and knee are at a right"
        " angle.",
    "stand.mouth_closed": "Please keep your head level and your mouth closed.",
    "stand.eyes_forward": "Please look straight ahead and let your shoulders drop.",
    "stand.arms_lifted": "Please lift your arms, then lower them again and breathe out gently.",
    "stand.arms_down": "Please let your arms hang, and breathe out gently.",
    "stand.breath": "Feet together, please, arms at your sides. Breathe out gently.",
    "stand.feet_together": "Feet together, please, and relax your muscles.",
    "stand.both_feet": "Please stand with your weight on both feet.",
    "stand.arm_hanging": "Please let your arm hang.",
    "stand.fist": "Please hold your upper arm out in front of you, bend your elbow and clench"
        " your fist.",
    "stand.palm_up": "Please turn your palm up and relax your arm.",
    "stand.palm_down": "Please turn your palm down.",
    "stand.elbow_bent": "Please bend your elbow to a right angle.",
    "stand.seated": "Please sit, with your knee at a right angle.",
    "told.age": "{age} by now",
    "told.since": "{months, plural, =0 {this month} one {# month ago} other {# months ago}}",
    "told.weight": "{weight}, {months, plural, =0 {this month} one {# month ago} other {# months"
        " ago}}",
    "told.place": "{months, plural, =0 {this month} one {# month ago} other {# months ago}}"
        " ({place})",
    "bare.clothing": "{worn, select, underwear {underwear, no shoes} other {light clothing, no"
        " shoes}}",
    "bare.free": "{worn, select, underwear {underwear, no shoes} other {light clothing, no"
        " shoes}}; uncovered: {places}",
    "bare.free_already": "{worn, select, underwear {underwear, no shoes} other {light clothing,"
        " no shoes}}; only if already uncovered: {places}",
    "tell.planned": "We will measure: {what}.",
    "tell.plan": "About {span} {minutes, plural, one {minute} other {minutes}}. Clothing:"
        " {clothing}.",
    "aloud.pair": (
        "{low, select,"
        " skinfold {The skinfolds give}"
        " girth {The tape gives}"
        " mass_height {Weight and height give}"
        " other {Waist and height give}"
        "} about {low_percent}%, {high, select,"
        " skinfold {the skinfolds}"
        " girth {the tape}"
        " mass_height {weight and height}"
        " other {waist and height}"
        "} about {high_percent}%: {why, select,"
        " slip {one of the numbers may be wrong, so let us measure again}"
        " more_muscle {you have more muscle than most people, and weight alone cannot tell muscle"
        " from fat}"
        " less_muscle {weight alone cannot tell how much of you is muscle}"
        " belly_fat {skinfolds only show the fat just under the skin, but a tape round the waist"
        " picks up deeper fat too}"
        " fat_under_skin {more of your fat lies just under the skin, and the tape picks up less"
        " of that}"
        " one_part {each one looks at a different part of the body}"
        " weight_and_height {weight and height cannot tell muscle from fat}"
        " usual_gap {they were made for different groups of people, and often differ this much}"
        " age_term {they allow for age in different ways}"
        " deeper_fat {skinfolds only show the fat just under the skin, but your weight includes"
        " deeper fat too}"
        " under_skin {more of your fat lies just under the skin, where skinfolds show it and"
        " weight alone does not}"
        " other {we do not know the reason yet}"
        "}."
    ),
}
# fmt: on
