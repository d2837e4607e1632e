"""Español, together: what fat, waist and weight come to side by side, each case as a whole sentence.

Keys name what is read of fat, of the waist and of the weight, in this order: usual, high, or unclear.
"""

from __future__ import annotations

# fmt: off
SPANISH_TOGETHER: dict[str, str] = {
    "together.usual_usual_usual": "Su grasa corporal, su cintura y su peso parecen estar dentro"
        " de lo habitual.",
    "together.usual_usual_high": "Su grasa corporal y su cintura parecen estar dentro de lo"
        " habitual; solo el peso está un poco alto, algo frecuente cuando hay más músculo.",
    "together.usual_usual_unclear": "Su grasa corporal y su cintura parecen estar dentro de lo"
        " habitual.",
    "together.usual_high_usual": "Su grasa corporal y su peso parecen estar dentro de lo habitual;"
        " su perímetro de cintura es elevado para su estatura. Puede hablarlo con nosotros o en"
        " una consulta médica.",
    "together.usual_high_high": "Su grasa corporal parece estar dentro de lo habitual; su cintura"
        " y su peso, por encima.",
    "together.usual_high_unclear": "Su grasa corporal parece estar dentro de lo habitual; su"
        " perímetro de cintura es elevado para su estatura. Puede hablarlo con nosotros o en una"
        " consulta médica.",
    "together.usual_unclear_usual": "Su grasa corporal y su peso parecen estar dentro de lo"
        " habitual.",
    "together.usual_unclear_high": "Su grasa corporal parece estar dentro de lo habitual; solo el"
        " peso está un poco alto, algo frecuente cuando hay más músculo.",
    "together.high_usual_usual": "Su cintura y su peso parecen estar dentro de lo habitual; su"
        " grasa corporal, por encima.",
    "together.high_usual_high": "Su cintura parece estar dentro de lo habitual; su grasa corporal"
        " y su peso, por encima.",
    "together.high_usual_unclear": "Su cintura parece estar dentro de lo habitual; su grasa"
        " corporal, por encima.",
    "together.high_high_usual": "Su peso parece estar dentro de lo habitual; su grasa corporal y"
        " su cintura, por encima.",
    "together.high_high_high": "Su grasa corporal, su cintura y su peso parecen estar por encima"
        " de lo habitual.",
    "together.high_high_unclear": "Su grasa corporal y su cintura parecen estar por encima de lo"
        " habitual.",
    "together.high_unclear_usual": "Su peso parece estar dentro de lo habitual; su grasa corporal,"
        " por encima.",
    "together.high_unclear_high": "Su grasa corporal y su peso parecen estar por encima de lo"
        " habitual.",
    "together.unclear_usual_usual": "Su cintura y su peso parecen estar dentro de lo habitual.",
    "together.unclear_usual_high": "Su cintura parece estar dentro de lo habitual; su peso, por"
        " encima.",
    "together.unclear_high_usual": "Su peso parece estar dentro de lo habitual; su perímetro de"
        " cintura es elevado para su estatura. Puede hablarlo con nosotros o en una consulta"
        " médica.",
    "together.unclear_high_high": "Su cintura y su peso parecen estar por encima de lo habitual.",
}
# fmt: on
