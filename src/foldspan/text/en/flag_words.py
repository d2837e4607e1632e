"""Words of flags: for every rule a sentence for the trainer and one for the client."""

from __future__ import annotations

# code → sentence for the trainer, sentence for the client; behind the client's stands how soon a doctor
# is needed, where that is within days or weeks (``notices.WHEN``)
FLAG_WORDS: dict[str, tuple[str, str]] = {
    "heart_signs": (
        "Stop here: call the emergency number and stay with the client until help arrives."
        " No testing and no training until a doctor has seen the client.",
        "This cannot wait: please call the emergency number now. We will stop here and stay"
        " with you until help comes.",
    ),
    "fainting": (
        "No testing or training today. The client should see a doctor today.",
        (
            "You told us that you fainted or nearly fainted. Please see a doctor today. We"
            " can measure another time."
        ),
    ),
    "self_harm": (
        "Stay with the client, put the numbers away and get help now: a crisis line, a"
        " doctor or the emergency number.",
        "Thank you for telling us. You do not have to face this alone. A doctor or a crisis"
        " line can help you today, and we will help you to reach them.",
    ),
    "one_leg_swollen": (
        "The client should see a doctor today, or call the emergency number. No tape and no"
        " training on that leg.",
        "Please have a doctor look at your leg today.",
    ),
    "belly_urgent": (
        "The client should see a doctor today. The waist is no guide to fat here.",
        "Please have a doctor look at your belly today.",
    ),
    "belly_fluid": (
        "Suggest a doctor's visit within two weeks; today if there is pain, fever or yellow"
        " skin. The waist is no guide to fat here.",
        "Please have a doctor look at your belly. Go today if there is pain, a"
        " fever or yellow skin.",
    ),
    "yellow_skin": (
        "Suggest a doctor's visit within two weeks; today if there is fever, pain or drowsiness.",
        "Please have a doctor look at your skin and eyes. Go today if there is a"
        " fever or pain, or if you feel drowsy.",
    ),
    "thirst_urgent": (
        "The client should see a doctor today, or call the emergency number.",
        "Your thirst needs to be checked by a doctor today. Please do not wait.",
    ),
    "thirst_and_urine": (
        "The client should see a doctor within a few days; today if there is vomiting or"
        " drowsiness.",
        "A doctor can find out why you are so thirsty. If you vomit or feel drowsy, go today.",
    ),
    "pressure_very_high": (
        "Have the client sit down, and measure again. If it is still this high, the client"
        " should see a doctor today. With chest pain, confusion or breathlessness, call the"
        " emergency number.",
        (
            "Your blood pressure reading was very high. Please see a doctor today. With chest"
            " pain, confusion or trouble breathing, call the emergency number now."
        ),
    ),
    "pregnancy_signs": (
        "In pregnancy and the months after a birth this cannot wait: call the midwife or a"
        " doctor today.",
        "Please call your midwife or a doctor today.",
    ),
    "pressure_raised": (
        "Blood pressure was high. Measure it again on another day, and have a doctor confirm"
        " it within two weeks.",
        "Your blood pressure reading was high. One high reading is not a diagnosis. Please"
        " have a doctor check it again.",
    ),
    "swelling": (
        "Swelling affects weight, girths and skinfolds, so no range is given today. Suggest"
        " a doctor's visit within two weeks.",
        "With the swelling, our numbers would be wrong. A doctor can find the cause.",
    ),
    "uneven_body": (
        "Skinfold equations are not valid if fat is missing or the two sides differ."
        " Suggest a doctor's visit within two weeks.",
        "A doctor can look into the changes in your body that you told us about.",
    ),
    "eating_concern": (
        "Possible eating concern: show no numbers, set no goals, and listen. Offer to help"
        " arrange a visit to a doctor or an eating-disorder service within two weeks. The"
        " client's page leaves out all numbers.",
        "Is food a worry for you? You do not have to face it alone. A doctor or an"
        " eating-disorder service can help.",
    ),
    "periods_stopped": (
        "Do not set a lower fat goal. Suggest a doctor's visit within two weeks, unless pregnancy,"
        " contraception or the menopause explains it.",
        ("Your periods have stopped. A doctor can find out why. Please set no goals until then."),
    ),
    "stress_fractures": (
        "Do not set a lower fat goal. Suggest a visit to a sports doctor within two weeks:"
        " recurring injuries can mean too little food for the training load.",
        "If an injury keeps coming back, please have a doctor look at it.",
    ),
    "bmi_severely_low": (
        "Weight is severely low for height. No training plan and no fat goal. The client"
        " should see a doctor today.",
        (
            "Your weight is very low for your height. Please see a doctor today. We can help"
            " you to call."
        ),
    ),
    "bmi_clearly_low": (
        "Weight is clearly low for height. No weight-loss goal. Suggest a doctor's visit"
        " within two weeks.",
        "Your weight is low for your height. A doctor can look into it with you.",
    ),
    "bmi_low_with_fast_loss": (
        "Weight is low for height and has dropped fast. No training plan and no weight-loss"
        " goal. The client should see a doctor today.",
        "Your weight is low for your height, and it has dropped fast. Please see a doctor"
        " today. We can help you to call.",
    ),
    "thin_for_age_severely": (
        "Weight is severely low for height at this age. No training plan and no goals. Tell"
        " a parent; the client should see a doctor today.",
        "Your weight is very low for your height. Please see a doctor today, with a parent"
        " or someone you trust. We can help you to call.",
    ),
    "thin_for_age": (
        "Weight is low for height at this age. No weight-loss goal. Tell a parent, and"
        " suggest a doctor's visit within two weeks; a doctor can use the growth chart.",
        "Your weight is low for your height. Please see a doctor, with a parent or someone"
        " you trust.",
    ),
    "low_weight_limb_severely": (
        "Weight is severely low for height, even if a whole leg is missing. No training plan"
        " and no goals. The client should see a doctor today.",
        (
            "Your weight is very low for your height. Please see a doctor today. We can help"
            " you to call."
        ),
    ),
    "low_weight_limb": (
        "Weight is low for height. The missing limb may explain it; only a clinician can"
        " tell. Suggest a doctor's visit within two weeks, and today if only a small part is"
        " missing and the client is unwell.",
        "Your weight looks low. The missing limb may explain it, and a doctor can tell.",
    ),
    "bmi_low_older": (
        "Weight is low for this age. No weight-loss goal. Ask about appetite, teeth and"
        " falls, and suggest a doctor's visit within two weeks.",
        "Your weight is low for your age. Please have a doctor look into it.",
    ),
    "bmi_light_older": (
        "Weight is on the light side for this age. No weight-loss goal. Suggest a check-up"
        " with a doctor, within two weeks if weight is falling.",
        "Your weight is a little low for your age. Please do not try to lose any. A doctor"
        " can look into it with you.",
    ),
    "bmi_low_with_loss": (
        "Weight is low for height and has been falling. No weight-loss goal. Suggest a"
        " doctor's visit within two weeks.",
        (
            "Your weight is low for your height, and it has gone down. Please have a doctor"
            " look into it."
        ),
    ),
    "bmi_low_for_illness": (
        "Weight is on the low side, and weight loss, illness or eating little may lower it"
        " further. Suggest a doctor's visit within two weeks.",
        "Your weight is a little low, and you have lost weight or are eating little. A"
        " doctor can help you.",
    ),
    "bmi_low": (
        "Weight is low for height. Many people are well like this all their lives: ask how"
        " long it has been so. If it is new, or there is any worry, suggest a doctor's visit"
        " within two weeks.",
        (
            "Your weight is low for your height. If that is new for you, a doctor can look"
            " into it with you."
        ),
    ),
    "loss_fast": (
        "A lot of unplanned weight loss in a short time. Suggest a doctor's visit within"
        " two weeks, sooner if possible; today if the client faints, is weak or is eating nothing.",
        "You have lost weight quickly without meaning to. Please have a doctor find out why.",
    ),
    "loss_unplanned": (
        "Unplanned weight loss. Suggest a doctor's visit within two weeks, whatever the"
        " weight is now.",
        "You have lost weight without meaning to. A doctor can find out why.",
    ),
    "loss_with_worry": (
        "Weight has fallen, and eating is a worry or periods have stopped. Even if the loss"
        " was planned, it is more than is safe here. No weight-loss goal. Suggest a doctor's"
        " visit within two weeks.",
        "Your weight has gone down more than is safe. Please have a doctor look into it.",
    ),
    "height_lost": (
        "Height is at least 3 cm less than before. Measure it again. If confirmed, suggest a"
        " doctor's visit within two weeks: bones and spine should be checked.",
        "You measured shorter than before. Please tell a doctor, so that your bones can be checked.",
    ),
    "loss_large_not_asked": (
        "A lot of weight lost in a short time, and no record of whether it was planned. Ask"
        " now. Unless it was planned with professional advice, suggest a doctor's visit"
        " within two weeks.",
        "You have lost a lot of weight in a short time. Please have a doctor look into that.",
    ),
    "loss_large_undated": (
        "A lot of weight lost; how long it took and whether it was planned are not recorded."
        " Ask both now. Unless it was planned or took years, suggest a doctor's visit within two"
        " weeks.",
        (
            "You have lost a lot of weight. If you did not plan that, please have a doctor"
            " look into it."
        ),
    ),
    "weakness": (
        "Weakness, slow walking or falls at this age should be checked: suggest a check-up with a"
        " doctor before hard training.",
        "A doctor can find out why you feel weak, walk slowly or fall.",
    ),
    "not_well": (
        "Do not measure or train someone who is ill. Suggest a doctor's visit if it does not"
        " get better; today if the client is hard to keep awake.",
        "You are not well, so measuring can wait. Please see a doctor if it does not get better.",
    ),
    "loss_not_asked": (
        "Weight has fallen, and there is no record of whether it was planned. Ask. If it was"
        " not, suggest a doctor's visit within two weeks.",
        (
            "Your weight has gone down. If you did not mean to lose weight, a doctor can"
            " find out why."
        ),
    ),
    "loss_planned_fast": (
        "Weight is dropping faster than is good for muscle; slow the plan down. With"
        " weakness, fainting or worry about food, suggest a doctor's visit within two weeks.",
        (
            "You are losing weight fast. Slower is better for your muscles. A doctor can"
            " help you plan it."
        ),
    ),
    "weight_with_signs": (
        "Weight or waist together with the other findings should be checked: suggest a"
        " doctor's visit within two weeks.",
        "Some of your answers are worth a check-up with a doctor.",
    ),
    "bmi_very_far_above": (
        "Suggest a check-up with a doctor within two weeks; ask first whether one is already"
        " under way.",
        "Please have a check-up with a doctor, unless you already have one planned.",
    ),
    "bmi_far_above": (
        "Suggest a check-up with a doctor: blood pressure, blood sugar, sleep and joints.",
        "Please have a check-up with a doctor, unless you already have one planned.",
    ),
    "waist_six_tenths": (
        "Suggest a check-up with a doctor: a waist of at least 60% of height carries more"
        " risk than the weight alone suggests.",
        (
            "Your waist is large for your height. This can matter for your health, so please"
            " have a check-up with a doctor."
        ),
    ),
    "weight_and_waist": (
        "BMI is well above the usual range, and the waist is large for the height or was not"
        " measured. Suggest a check-up with a doctor: blood pressure and blood sugar. If the"
        " waist was not measured, measure it.",
        "If you have not had a check-up with a doctor this year, please have one.",
    ),
    "central_fat": (
        "The waist is half the height or more, which weight alone would not have shown."
        " Suggest a check-up with a doctor.",
        "Your waist is large for your height. Weight alone does not show this. You can talk"
        " about it with us or a doctor.",
    ),
    "fat_very_low": (
        "Body fat may be below the minimum certified in sport. Do not set a lower goal. Ask about"
        " periods, energy and injuries, and suggest a doctor's visit within two weeks.",
        "Your body has very little fat, and it needs some. Please do not aim lower. A doctor"
        " can look into it with you.",
    ),
    "folds_very_low": (
        "The skinfolds are as thin as those of the leanest athletes. Do not set a lower goal. Ask"
        " about periods, energy and injuries, and suggest a doctor's visit within two weeks.",
        "Your body has very little fat, and it needs some. Please do not aim lower. A doctor"
        " can look into it with you.",
    ),
    "fat_near_minimum": (
        "Body fat is near the minimum a body needs. Do not set a lower goal. With fainting, missed"
        " periods or worry about food, suggest a doctor's visit within two weeks.",
        "Your body has little fat, and it needs some. Please do not aim lower.",
    ),
    "lean_low_with_loss": (
        "Fat-free mass is low for height, and weight has been lost. Suggest a visit to a doctor"
        " or dietitian within two weeks.",
        (
            "You have lost weight, and some of it may be muscle. A doctor can help you to"
            " get it back."
        ),
    ),
    "lean_low": (
        "Fat-free mass is low for height. On its own this means little; strength matters"
        " more. If weight is falling, suggest a doctor's visit within two weeks.",
        ("A little more muscle would help you. If you are losing weight, please see a doctor too."),
    ),
    "muscle_and_weight": (
        "Signs of muscle weakness, which a large waist or weight can hide. Do not be reassured"
        " by the weight. Suggest a visit to a doctor or falls clinic within two weeks.",
        "Getting stronger matters more now than your weight. A doctor can check your"
        " strength with you.",
    ),
    "muscle_signs": (
        "Signs of muscle weakness. Offer suitable strength training, and suggest a check of"
        " strength and walking with a doctor.",
        "Getting stronger would help you. A doctor can check your strength and how you walk.",
    ),
    "bleeding": (
        "May bruise or bleed easily: use tape and weighing scale only, unless the client's"
        " doctor agrees to skinfolds.",
        (
            "Measuring skin folds can leave you with bruises, so the tape is the better choice for"
            " you. Your doctor can tell you more."
        ),
    ),
    "do_not_pinch": (
        "Leave out that site, and do not use another in its place. Girths elsewhere are"
        " fine. Ask a doctor if in doubt.",
        "Some places are best left alone. We leave them out, and that is fine.",
    ),
    "recent_surgery": (
        "Leave out sites near the operation: the equations do not apply there for about"
        " three months. The client should ask the doctor when training may start.",
        "We will not measure near your operation until it has healed.",
    ),
    "belly_not_valid": (
        "The waist, and equations that use it, are not reliable here. Go by the other"
        " methods, or ask a doctor.",
        "Your waist is hard to measure just now, so please do not go by it alone.",
    ),
    "body_not_valid": (
        "BMI, waist-to-height ratio and girths on that side may not be reliable. A clinician"
        " has suitable methods.",
        "Some of our methods would not be right for you. A doctor can use others.",
    ),
    "medicines": (
        "These medicines shift fat or water, so skinfolds and weight may be misleading. Do not"
        " suggest any change; questions are for the doctor.",
        "Some medicines shift fat or water in the body, so our range may be off.",
    ),
    "anabolic_drugs": (
        "Anabolic drugs add muscle and water, so BMI and equations that use weight tend to"
        " overestimate fat. Do not advise on doses. Health questions are for a doctor.",
        "What you take to build muscle adds water too, so our range may be off. Please talk to a"
        " doctor about it.",
    ),
    "strong_build": (
        "Do not rely on BMI here: it cannot tell muscle from fat. Waist-to-height ratio and"
        " the range are better guides.",
        (
            "Weight and height cannot tell muscle from fat. For you, the waist and the fat"
            " range are better guides."
        ),
    ),
}
