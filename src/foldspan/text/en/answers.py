"""Words that answer a question of a session; the first of several is the one that is shown."""

from __future__ import annotations

# fmt: off
ENGLISH_ANSWERS: dict[str, str] = {
    "answer.yes": "yes, y",
    "answer.no": "no, n, not",
    "answer.none": "none",
    "answer.days": "days, day",
    "answer.weeks": "weeks, week",
    "answer.months": "months, month",
    "answer.years": "years, year",
    "answer.ago": "ago",
    "answer.all": "all",
    "answer.between": "and, to, the",
    "answer.except": "except, but",
    "choice.female": "female",
    "choice.male": "male",
    "choice.both": "both",
    "choice.belly": "belly",
    "choice.chest": "chest",
    "choice.elsewhere": "elsewhere",
}
# fmt: on
