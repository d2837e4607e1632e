"""Deutsch, together: what fat, waist and weight come to side by side, each case as a whole sentence.

Keys name what is read of fat, of the waist and of the weight, in this order: usual, high, or unclear.
"""

from __future__ import annotations

# fmt: off
GERMAN_TOGETHER: dict[str, str] = {
    "together.usual_usual_usual": "Körperfett, Taillenumfang und Gewicht scheinen im üblichen"
        " Bereich zu liegen.",
    "together.usual_usual_high": "Körperfett und Taillenumfang scheinen im üblichen Bereich zu"
        " liegen; nur das Gewicht liegt etwas darüber, wie oft bei kräftiger Muskulatur.",
    "together.usual_usual_unclear": "Körperfett und Taillenumfang scheinen im üblichen Bereich zu"
        " liegen.",
    "together.usual_high_usual": "Körperfett und Gewicht scheinen im üblichen Bereich zu liegen;"
        " Ihr Taillenumfang ist im Verhältnis zu Ihrer Größe erhöht. Darüber können Sie mit uns"
        " oder mit Ihrer Arztpraxis sprechen.",
    "together.usual_high_high": "Ihr Körperfett scheint im üblichen Bereich zu liegen,"
        " Taillenumfang und Gewicht darüber.",
    "together.usual_high_unclear": "Ihr Körperfett scheint im üblichen Bereich zu liegen; Ihr"
        " Taillenumfang ist im Verhältnis zu Ihrer Größe erhöht. Darüber können Sie mit uns oder"
        " mit Ihrer Arztpraxis sprechen.",
    "together.usual_unclear_usual": "Körperfett und Gewicht scheinen im üblichen Bereich zu"
        " liegen.",
    "together.usual_unclear_high": "Ihr Körperfett scheint im üblichen Bereich zu liegen; nur das"
        " Gewicht liegt etwas darüber, wie oft bei kräftiger Muskulatur.",
    "together.high_usual_usual": "Taillenumfang und Gewicht scheinen im üblichen Bereich zu"
        " liegen, Ihr Körperfett darüber.",
    "together.high_usual_high": "Ihr Taillenumfang scheint im üblichen Bereich zu liegen,"
        " Körperfett und Gewicht darüber.",
    "together.high_usual_unclear": "Ihr Taillenumfang scheint im üblichen Bereich zu liegen, Ihr"
        " Körperfett darüber.",
    "together.high_high_usual": "Ihr Gewicht scheint im üblichen Bereich zu liegen, Körperfett und"
        " Taillenumfang darüber.",
    "together.high_high_high": "Körperfett, Taillenumfang und Gewicht scheinen über dem üblichen"
        " Bereich zu liegen.",
    "together.high_high_unclear": "Körperfett und Taillenumfang scheinen über dem üblichen"
        " Bereich zu liegen.",
    "together.high_unclear_usual": "Ihr Gewicht scheint im üblichen Bereich zu liegen, Ihr"
        " Körperfett darüber.",
    "together.high_unclear_high": "Körperfett und Gewicht scheinen über dem üblichen Bereich zu"
        " liegen.",
    "together.unclear_usual_usual": "Taillenumfang und Gewicht scheinen im üblichen Bereich zu"
        " liegen.",
    "together.unclear_usual_high": "Ihr Taillenumfang scheint im üblichen Bereich zu liegen, Ihr"
        " Gewicht darüber.",
    "together.unclear_high_usual": "Ihr Gewicht scheint im üblichen Bereich zu liegen; Ihr"
        " Taillenumfang ist im Verhältnis zu Ihrer Größe erhöht. Darüber können Sie mit uns oder"
        " mit Ihrer Arztpraxis sprechen.",
    "together.unclear_high_high": "Taillenumfang und Gewicht scheinen über dem üblichen Bereich"
        " zu liegen.",
}
# fmt: on
