"""English, together: what fat, waist and weight come to side by side, each case as a whole sentence.

Keys name what is read of fat, of the waist and of the weight, in this order: usual, high, or unclear.
"""

from __future__ import annotations

# fmt: off
ENGLISH_TOGETHER: dict[str, str] = {
    "together.usual_usual_usual": "Your body fat, waist and weight all look usual.",
    "together.usual_usual_high": "Your body fat and waist look usual; weight alone looks a little"
        " high, which is common with muscle.",
    "together.usual_usual_unclear": "Your body fat and waist look usual.",
    "together.usual_high_usual": "Your body fat and weight look usual; your waist is large for"
        " your height. You can talk about it with us or a doctor.",
    "together.usual_high_high": "Your body fat looks usual; your waist and weight look higher"
        " than usual.",
    "together.usual_high_unclear": "Your body fat looks usual; your waist is large for your"
        " height. You can talk about it with us or a doctor.",
    "together.usual_unclear_usual": "Your body fat and weight look usual.",
    "together.usual_unclear_high": "Your body fat looks usual; weight alone looks a little high,"
        " which is common with muscle.",
    "together.high_usual_usual": "Your waist and weight look usual; your body fat looks higher"
        " than usual.",
    "together.high_usual_high": "Your waist looks usual; your body fat and weight look higher"
        " than usual.",
    "together.high_usual_unclear": "Your waist looks usual; your body fat looks higher than usual.",
    "together.high_high_usual": "Your weight looks usual; your body fat and waist look higher"
        " than usual.",
    "together.high_high_high": "Your body fat, waist and weight all look higher than usual.",
    "together.high_high_unclear": "Your body fat and waist look higher than usual.",
    "together.high_unclear_usual": "Your weight looks usual; your body fat looks higher than"
        " usual.",
    "together.high_unclear_high": "Your body fat and weight look higher than usual.",
    "together.unclear_usual_usual": "Your waist and weight look usual.",
    "together.unclear_usual_high": "Your waist looks usual; your weight looks higher than usual.",
    "together.unclear_high_usual": "Your weight looks usual; your waist is large for your height."
        " You can talk about it with us or a doctor.",
    "together.unclear_high_high": "Your waist and weight look higher than usual.",
}
# fmt: on
