"""Wording of flags: one sentence for the trainer, one for the client, one for the clinician.

No sentence says that somebody has an illness; whoever is referred is referred to a clinician. The
client's words are short and calm, and name no number.
"""

from __future__ import annotations

from foldspan.standards.referral_rules import Level, Rule
from foldspan.text.en.health import chance_words
from foldspan.text.en.notices import how_soon, with_when
from foldspan.text.en.reconcile import capital

LEVEL_WORDS: dict[Level, str] = {
    "inform": "for information",
    "advise": "advise",
    "refer_soon": "refer soon",
    "refer_urgently": "refer urgently",
}
LEVEL_MEANING: dict[Level, str] = {
    "inform": "know it, and tell it where it helps",
    "advise": "talk it over, and offer a check-up with a doctor",
    "refer_soon": "a doctor within about two weeks",
    "refer_urgently": "a doctor the same day, or the emergency number",
}
# ladders of rules that rest on measurements
MEASURED = ("low_weight", "high_weight", "loss", "height", "low_fat", "lean")
# rules whose limits a clinician reads without the list of what may have been told beside them
BARE_RULES = {
    "weight_with_signs": (
        "body mass index from 30 (27.5 in the backgrounds NICE names), or from 25 with a waist of half"
        " the height, beside what was told"
    ),
    "bmi_low_for_illness": (
        "body mass index below 20, from 70 years on below 22 (Asian backgrounds 18.5 and 20), beside"
        " what was told"
    ),
}
# rules that are a list themselves: what was found says enough
LISTED_RULES = ("pregnancy_signs",)
BORDERLINE = (
    "Borderline: the measurements leave it open ({chance} in 10). Measure again if you can."
)

# code → sentence for the trainer, sentence for the client; behind the client's stands how soon a doctor
# is needed, where that is within days or weeks (``notices.WHEN``)
FLAG_WORDS: dict[str, tuple[str, str]] = {
    "heart_signs": (
        "Stop here: call the emergency number, and stay with the client until help comes. Do not test"
        " or train; a doctor comes first.",
        "What you told us cannot wait: please call the emergency number now. We stop here and stay with"
        " you until help comes.",
    ),
    "fainting": (
        "Do not test or train today: a doctor should see the client the same day.",
        "You told us that you fainted. Please see a doctor today; we will measure another time.",
    ),
    "self_harm": (
        "Stay with the client, put the numbers away, and get help now: a crisis line, a doctor or the"
        " emergency number.",
        "Thank you for telling us. You do not have to be alone with it: a doctor or a crisis line can"
        " help you today, and we will help you to reach one.",
    ),
    "one_leg_swollen": (
        "A doctor the same day, or the emergency number. No tape and no training on that leg.",
        "Please let a doctor look at your leg today.",
    ),
    "belly_urgent": (
        "A doctor the same day. The waist tells nothing about fat here.",
        "Please let a doctor look at your belly today.",
    ),
    "belly_fluid": (
        "A doctor soon; the same day with pain, fever or yellow skin. The waist tells nothing about fat"
        " here.",
        "Please let a doctor look at your belly. If there is pain, fever or yellow skin, go the same"
        " day.",
    ),
    "yellow_skin": (
        "A doctor soon; the same day with fever, pain or drowsiness.",
        "Please let a doctor look at your skin and eyes. If there is fever, pain or drowsiness,"
        " go the same day.",
    ),
    "thirst_urgent": (
        "A doctor the same day, or the emergency number.",
        "What you told us needs a doctor today. Please do not wait.",
    ),
    "thirst_and_urine": (
        "A doctor within days; the same day with vomiting or drowsiness.",
        "A doctor can find out why you are so thirsty. If you vomit or feel drowsy, go the same day.",
    ),
    "pressure_very_high": (
        "Sit the client down and measure once more; if it stays, a doctor the same day. With chest pain,"
        " confusion or breathlessness call the emergency number.",
        "Your blood pressure is very high right now. Please see a doctor today.",
    ),
    "pregnancy_signs": (
        "In pregnancy and the months after a birth this cannot wait: the midwife or a doctor the same"
        " day.",
        "Please call your midwife or a doctor today.",
    ),
    "pressure_raised": (
        "Blood pressure was high. Measure it again on another day, and ask a doctor to confirm it.",
        "Your blood pressure reading was high. One high reading is not a diagnosis, so please have a"
        " doctor check it again.",
    ),
    "swelling": (
        "Swelling makes weight, girths and folds mean something else. No range today; a doctor soon.",
        "With swelling our measuring is not right. A doctor can find out where it comes from.",
    ),
    "uneven_body": (
        "Folds and their equations do not hold where fat is missing or the sides differ. A doctor soon.",
        "A doctor can look at the changes in your body that you told us about.",
    ),
    "eating_concern": (
        "Careful words: show no numbers and set no goals; listen. Offer help to see a doctor or an"
        " eating-disorder service soon. The client's page leaves all numbers out.",
        "Is food a worry for you? You do not have to carry that alone. A doctor or an eating-disorder"
        " service can help.",
    ),
    "periods_stopped": (
        "Set no lower fat goal. A doctor soon, unless pregnancy, contraception or the menopause explains"
        " it.",
        "Your periods have stopped, and a doctor can find out why. Please set no goals until then.",
    ),
    "stress_fractures": (
        "Set no lower fat goal. A sports doctor soon: injuries that come back can mean too little food"
        " for the work.",
        "If an injury keeps coming back, please let a doctor look at it.",
    ),
    "bmi_severely_low": (
        "Weight is severely low for height. No training plan and no fat goal; a doctor the same day.",
        "Your weight is very low for your height. Please see a doctor today; we can help you to call.",
    ),
    "bmi_clearly_low": (
        "Weight is clearly low for height. No goal of losing; a doctor soon.",
        "Your weight is low for your height. A doctor can look at it with you.",
    ),
    "bmi_low_with_fast_loss": (
        "Weight is low for height and has fallen fast. No training plan and no goal of losing; a doctor"
        " the same day.",
        "Your weight is low for your height, and it has gone down fast. Please see a doctor today; we"
        " can help you to call.",
    ),
    "thin_for_age_severely": (
        "Weight is severely low for height at this age. No training plan and no goal; tell a parent, and"
        " a doctor the same day.",
        "Your weight is very low for your height. Please see a doctor today, with a parent or somebody"
        " you trust; we can help you to call.",
    ),
    "thin_for_age": (
        "Weight is low for height at this age. No goal of losing; tell a parent, and a doctor within two"
        " weeks, who can read the growth chart.",
        "Your weight is low for your height. Please see a doctor, with a parent or somebody you"
        " trust.",
    ),
    "low_weight_limb_severely": (
        "Weight is severely low for height, even allowing for a whole leg that is missing. No training"
        " plan and no goal; a doctor the same day.",
        "Your weight is very low for your height. Please see a doctor today; we can help you to call.",
    ),
    "low_weight_limb": (
        "Weight is low for height. The missing limb may be the reason; only a clinician can tell. A"
        " doctor within two weeks, and the same day if only a small part is missing and the client is"
        " unwell.",
        "Your weight looks low. A missing limb can explain that, and a doctor can tell.",
    ),
    "bmi_low_older": (
        "Weight is low for this age. No goal of losing; ask about appetite, teeth and falls, and"
        " suggest a doctor's visit within two weeks.",
        "Your weight is low for your age. Please let a doctor look at it.",
    ),
    "bmi_light_older": (
        "Weight is on the light side for this age. No goal of losing; offer a check-up with a doctor,"
        " soon if weight is falling.",
        "Your weight is a little low for your age. Please do not aim lower; a doctor can look at it with"
        " you.",
    ),
    "bmi_low_with_loss": (
        "Weight is low for height and has been falling. No goal of losing; a doctor soon.",
        "Your weight is low for your height, and it has gone down. Please let a doctor look at it.",
    ),
    "bmi_low_for_illness": (
        "Weight is on the low side and there may be a cause that takes it further. A doctor soon.",
        "Your weight is a little low, and you have lost some or are eating little. A doctor can help"
        " you.",
    ),
    "bmi_low": (
        "Weight is low for height. Many are well with it all their lives: ask since when. If it is new,"
        " or there is any worry, a doctor soon.",
        "Your weight is low for your height. If that is new for you, a doctor can look at it with you.",
    ),
    "loss_fast": (
        "Unplanned loss of a lot of weight in a short time. Suggest a doctor's visit within two"
        " weeks, sooner if possible; the same day if the client faints, is weak or eats nothing.",
        "You lost weight quickly without wanting to. Please let a doctor find out why.",
    ),
    "loss_unplanned": (
        "Weight was lost without wanting to. A doctor soon, whatever the weight is now.",
        "You lost weight without wanting to. A doctor can find out why.",
    ),
    "loss_with_worry": (
        "Weight has fallen, and eating is a worry or periods have stopped. Even if the loss was"
        " wanted, it is more than is safe here. No goal of losing; a doctor within two weeks.",
        "Your weight has gone down more than is safe. Please let a doctor look at it.",
    ),
    "height_lost": (
        "Height is 3 cm or more below what it was. Measure it once more; if it stays, suggest a doctor's"
        " visit within two weeks: bones and spine should be checked.",
        "You measured shorter than before. Please tell a doctor, so that your bones can be checked.",
    ),
    "loss_large_not_asked": (
        "Much weight was lost in a short time, and nobody noted whether that was wanted. Ask now; unless"
        " it was planned with somebody who knows, a doctor soon.",
        "You lost a lot of weight in a short time. Please let a doctor look at that.",
    ),
    "loss_large_undated": (
        "A lot of weight was lost, and nobody noted over what time or whether that was wanted. Ask both"
        " now; unless it was planned, or took years, a doctor soon.",
        "You have lost a lot of weight. If you did not plan that, please let a doctor look at it.",
    ),
    "weakness": (
        "Weak, slow or falling at this age has a reason: offer a check-up with a doctor before training"
        " hard.",
        "A doctor can find out why you feel weak or fall.",
    ),
    "not_well": (
        "Do not measure or train somebody who is ill. A doctor if it does not pass; the same day if it"
        " is hard to keep awake.",
        "You are not well today, so measuring can wait. See a doctor if it does not pass.",
    ),
    "loss_not_asked": (
        "Weight has fallen, and nobody noted whether that was wanted. Ask; if it was not, a doctor"
        " soon.",
        "Your weight has gone down. If you did not want that, a doctor can find out why.",
    ),
    "loss_planned_fast": (
        "Weight is falling faster than is good for muscle. Slow down; with weakness, fainting or worry"
        " about food, a doctor soon.",
        "You are losing weight fast. Slower is kinder to your muscle; a doctor can help you plan it.",
    ),
    "weight_with_signs": (
        "Weight or waist and the other signs together are worth a check-up: a doctor soon.",
        "Some of your answers are worth a check-up with a doctor.",
    ),
    "bmi_very_far_above": (
        "A check-up with a doctor soon; ask first whether one is already under way.",
        "A doctor can give you a check-up, if you have not had one this year.",
    ),
    "bmi_far_above": (
        "Offer a check-up with a doctor: blood pressure, sugar, sleep and joints.",
        "A doctor can give you a check-up, if you have not had one this year.",
    ),
    "waist_six_tenths": (
        "Offer a check-up with a doctor: a waist of six-tenths of the height goes with more risk than"
        " the weight alone tells.",
        "Your waist tells more than your weight here. A doctor can give you a check-up.",
    ),
    "weight_and_waist": (
        "Weight is well above the usual band, and the waist is large for the height or was not"
        " measured. Offer a check-up with a doctor: blood pressure and blood sugar. If the waist was"
        " not measured, measure it.",
        "If you have not had a check-up with a doctor this year, please have one.",
    ),
    "central_fat": (
        "Weight is usual, and yet the waist is half the height or more. Weight alone would have missed"
        " it; offer a check-up with a doctor.",
        "Your weight is usual for your height. Your waist is a little large for it, and you can talk"
        " about that with us or with a doctor.",
    ),
    "fat_very_low": (
        "Body fat may be below the least that sport allows. Set no lower goal; ask about periods, energy"
        " and injuries, and suggest a doctor's visit within two weeks.",
        "Your body carries very little fat, and it needs some. Please do not aim lower; a doctor can"
        " look at it with you.",
    ),
    "folds_very_low": (
        "The skinfolds are as thin as those of the leanest athletes. Set no lower goal; ask about"
        " periods, energy and injuries, and suggest a doctor's visit within two weeks.",
        "Your body carries very little fat, and it needs some. Please do not aim lower; a doctor can"
        " look at it with you.",
    ),
    "fat_near_minimum": (
        "Fat is near the least that a body needs. Set no lower goal; with fainting, missed periods or"
        " worry about food, a doctor soon.",
        "Your body carries little fat, and it needs some. Please do not aim lower.",
    ),
    "lean_low_with_loss": (
        "Lean mass is low for height and weight was lost. A doctor or a dietitian soon.",
        "You have lost weight, and muscle may be part of it. A doctor can help you to get it back.",
    ),
    "lean_low": (
        "Lean mass is low for height. By itself it means little; strength counts more. With loss of"
        " weight, a doctor soon.",
        "Some more muscle would help you. If you are losing weight, ask a doctor too.",
    ),
    "muscle_and_weight": (
        "Signs of weak muscle under a large waist or weight, which hide them. Do not be reassured by the"
        " weight; a doctor or a falls clinic soon.",
        "Getting stronger matters more now than the number on the scale. A doctor can look at your"
        " strength with you.",
    ),
    "muscle_signs": (
        "Signs of weak muscle. Offer strength training that fits, and a check of strength and walking"
        " with a doctor.",
        "Getting stronger would help you. A doctor can check your strength and how you walk.",
    ),
    "bleeding": (
        "Do not pinch without a word from the doctor: tape and scale only. Bruises come easily.",
        "Folds can leave bruises on you, so the tape is the better way. Your doctor can tell us more.",
    ),
    "do_not_pinch": (
        "Leave out that site, and do not put another in its place. Tape elsewhere is fine; ask a doctor"
        " if in doubt.",
        "We leave out the place that is sore. That is fine.",
    ),
    "recent_surgery": (
        "Leave out sites near the operation: the equations do not apply there for some three months. Ask"
        " the doctor when training may start.",
        "We leave out the place of your operation until it has healed.",
    ),
    "belly_not_valid": (
        "The waist and its equations tell nothing sound here; go by the other methods, or ask a doctor.",
        "We do not go by your waist today. That is fine.",
    ),
    "body_not_valid": (
        "Weight for height, waist for height and girths of that side may not hold; a clinician has"
        " methods that do.",
        "Some of our ways of measuring do not fit you. A doctor has others.",
    ),
    "medicines": (
        "These medicines move fat or water, so folds and weight may mislead. Change nothing; questions"
        " go to the doctor.",
        "Some drugs move fat or water in the body, so our range may be off.",
    ),
    "anabolic_drugs": (
        "Anabolic drugs add muscle and water, so body mass index and equations that go by weight tend to"
        " read too high. Do not advise on doses; questions about health go to a doctor.",
        "What you take for muscle adds muscle and water, so our range may be off. Please talk to a"
        " doctor about it.",
    ),
    "strong_build": (
        "Do not go by body mass index here: it cannot tell muscle from fat. Waist to height and the"
        " range are the better guides.",
        "Weight and height cannot tell muscle from fat, so we do not go by them with you.",
    ),
}


def flag_sentence(code: str, chance: float, *, is_borderline: bool) -> str:
    """Return the sentence for the trainer."""
    text = FLAG_WORDS[code][0]
    return f"{text} {borderline_sentence(chance)}" if is_borderline else text


def borderline_sentence(chance: float) -> str:
    """Return that a flag is borderline, with its chance in tenths."""
    return BORDERLINE.format(chance=min(round(10.0 * chance), 9))


def client_sentence(code: str, level: Level) -> str:
    """Return the sentence for the client, with how soon a doctor is needed."""
    return with_when(FLAG_WORDS[code][1], how_soon(code, level))


def clinician_sentence(rule: Rule, grounds: str, chance: float) -> str:
    """Return what raised the flag: the rule, what was measured, and the chance that it holds."""
    is_measured = rule.ladder in MEASURED
    return row_sentence(rule, grounds, f"chance {chance_words(chance)}" if is_measured else "")


def row_sentence(rule: Rule, grounds: str, chance: str = "") -> str:
    """Return what raised a flag of which the chance in words is known, or "" for one that is not."""
    is_measured = rule.ladder in MEASURED
    if not grounds:
        ground = chance or "told or marked"
        return f"{capital(rule.when)} ({ground}). Screening rule, not a diagnosis."
    text = f"{capital(grounds)}."
    if (is_measured or rule.ladder == "pressure") and rule.code not in LISTED_RULES:
        limit = BARE_RULES.get(rule.code, rule.when)
        text += f" Rule: {limit}{f' ({chance})' if chance else ''}."
    return f"{text} Screening rule, not a diagnosis."
