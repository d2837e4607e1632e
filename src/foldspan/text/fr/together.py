"""Français, together: what fat, waist and weight come to side by side, each case as a whole sentence.

Keys name what is read of fat, of the waist and of the weight, in this order: usual, high, or unclear.
"""

from __future__ import annotations

# fmt: off
FRENCH_TOGETHER: dict[str, str] = {
    "together.usual_usual_usual": "Votre masse grasse, votre tour de taille et votre poids"
        " semblent être dans les valeurs habituelles.",
    "together.usual_usual_high": "Votre masse grasse et votre tour de taille semblent être dans"
        " les valeurs habituelles\u00a0; seul le poids paraît un peu élevé, ce qui est fréquent"
        " chez les personnes musclées.",
    "together.usual_usual_unclear": "Votre masse grasse et votre tour de taille semblent être dans"
        " les valeurs habituelles.",
    "together.usual_high_usual": "Votre masse grasse et votre poids semblent être dans les valeurs"
        " habituelles\u00a0; votre tour de taille est élevé par rapport à votre stature. Vous"
        " pouvez en parler avec nous ou avec votre médecin.",
    "together.usual_high_high": "Votre masse grasse semble être dans les valeurs"
        " habituelles\u00a0; votre tour de taille et votre poids semblent se situer au-dessus.",
    "together.usual_high_unclear": "Votre masse grasse semble être dans les valeurs"
        " habituelles\u00a0; votre tour de taille est élevé par rapport à votre stature. Vous"
        " pouvez en parler avec nous ou avec votre médecin.",
    "together.usual_unclear_usual": "Votre masse grasse et votre poids semblent être dans les"
        " valeurs habituelles.",
    "together.usual_unclear_high": "Votre masse grasse semble être dans les valeurs"
        " habituelles\u00a0; seul le poids paraît un peu élevé, ce qui est fréquent chez les"
        " personnes musclées.",
    "together.high_usual_usual": "Votre tour de taille et votre poids semblent être dans les"
        " valeurs habituelles\u00a0; votre masse grasse semble se situer au-dessus.",
    "together.high_usual_high": "Votre tour de taille semble être dans les valeurs"
        " habituelles\u00a0; votre masse grasse et votre poids semblent se situer au-dessus.",
    "together.high_usual_unclear": "Votre tour de taille semble être dans les valeurs"
        " habituelles\u00a0; votre masse grasse semble se situer au-dessus.",
    "together.high_high_usual": "Votre poids semble être dans les valeurs habituelles\u00a0; votre"
        " masse grasse et votre tour de taille semblent se situer au-dessus.",
    "together.high_high_high": "Votre masse grasse, votre tour de taille et votre poids semblent"
        " être au-dessus des valeurs habituelles.",
    "together.high_high_unclear": "Votre masse grasse et votre tour de taille semblent être"
        " au-dessus des valeurs habituelles.",
    "together.high_unclear_usual": "Votre poids semble être dans les valeurs habituelles\u00a0;"
        " votre masse grasse semble se situer au-dessus.",
    "together.high_unclear_high": "Votre masse grasse et votre poids semblent être au-dessus des"
        " valeurs habituelles.",
    "together.unclear_usual_usual": "Votre tour de taille et votre poids semblent être dans les"
        " valeurs habituelles.",
    "together.unclear_usual_high": "Votre tour de taille semble être dans les valeurs"
        " habituelles\u00a0; votre poids semble se situer au-dessus.",
    "together.unclear_high_usual": "Votre poids semble être dans les valeurs habituelles\u00a0;"
        " votre tour de taille est élevé par rapport à votre stature. Vous pouvez en parler avec"
        " nous ou avec votre médecin.",
    "together.unclear_high_high": "Votre tour de taille et votre poids semblent être au-dessus des"
        " valeurs habituelles.",
}
# fmt: on
