"""German for the client's page: the range in one line, its dots, and what they come to."""

from __future__ import annotations

# fmt: off
GERMAN_PAGE: dict[str, str] = {
    "page.lead": "Körperfett: wahrscheinlich {low} bis {high}\u00a0%",
    "page.dots": "Keine Methode misst genau. Jeder Punkt zeigt einen gleich wahrscheinlichen Wert"
    " für Ihr Körperfett; 16 der 20 liegen in diesem Bereich.",
    "page.apart": "Die Messungen passen heute nicht zusammen. Wir messen noch einmal.",
    "page.apart_sites": "Noch einmal messen möchten wir: {sites}.",
    "page.apart_all": "Am besten messen wir alles noch einmal.",
    "page.until_then": "Bis dahin können wir nur sagen: Ihr Körperfett liegt wahrscheinlich zwischen"
    " {low} und {high}\u00a0%.",
    "page.read_or_not": "Sie müssen die Zahlen nicht lesen. Wenn eine Zahl Sie beunruhigt, sprechen Sie"
    " mit uns, einer Ärztin oder einem Arzt.",
    "page.span": "{low} bis {high} {unit}",
    "page.masses": "Von Ihren {weight} sind etwa {fat} Fett; etwas Fett braucht jeder Körper. Der Rest,"
    " {rest}, ist fettfreie Masse: Muskeln, Knochen, Organe und Wasser.",
    "page.contact": "Kontakt",
    "page.methods": "Was die einzelnen Methoden ergeben",
    "zone.lighter_match": "unter dem Üblichen",
    "zone.healthy_match": "üblich für {whom} Ihres Alters",
    "zone.above_match": "über dem Üblichen",
    "zone.well_above_match": "deutlich über dem Üblichen",
    "whom.female": "Frauen",
    "whom.male": "Männer",
    "zones.all": "Alle 20 Punkte liegen im Bereich „{zone}“.",
    "zones.most": "{count} der 20 Punkte liegen im Bereich „{zone}“; {others}.",
    "zones.other": "{count} in „{zone}“",
    "together.usual": "{usual}.",
    "together.high": "{high}.",
    "together.both": "{usual}; {high}.",
    "together.weight_alone": "{usual}; nur das Gewicht liegt etwas höher, was bei kräftigen Muskeln oft"
    " vorkommt.",
    "usual.fat_percent": "Ihr Körperfett scheint im üblichen Bereich zu liegen",
    "usual.waist_to_height": "Ihr Taillenumfang scheint im üblichen Bereich zu liegen",
    "usual.bmi": "Ihr Gewicht scheint im üblichen Bereich zu liegen",
    "usual.fat_percent+waist_to_height": "Körperfett und Taillenumfang scheinen im üblichen"
        " Bereich zu liegen",
    "usual.fat_percent+bmi": "Körperfett und Gewicht scheinen im üblichen Bereich zu liegen",
    "usual.waist_to_height+bmi": "Taillenumfang und Gewicht scheinen im üblichen Bereich zu liegen",
    "usual.fat_percent+waist_to_height+bmi": "Körperfett, Taillenumfang und Gewicht scheinen im"
        " üblichen Bereich zu liegen",
    "high.fat_percent": "Ihr Körperfett scheint über dem üblichen Bereich zu liegen",
    "high.waist_to_height": "Ihr Taillenumfang ist im Verhältnis zu Ihrer Größe hoch",
    "high.bmi": "Ihr Gewicht scheint über dem üblichen Bereich zu liegen",
    "high.fat_percent+waist_to_height": "Körperfett und Taillenumfang scheinen über dem üblichen"
        " Bereich zu liegen",
    "high.fat_percent+bmi": "Körperfett und Gewicht scheinen über dem üblichen Bereich zu liegen",
    "high.waist_to_height+bmi": "Taillenumfang und Gewicht scheinen über dem üblichen Bereich zu"
        " liegen",
    "high.fat_percent+waist_to_height+bmi": "Körperfett, Taillenumfang und Gewicht scheinen über"
        " dem üblichen Bereich zu liegen",
    "picture.dots": "Zwanzig Punkte auf einer Linie für Körperfett, alle gleich wahrscheinlich; 16"
    " liegen zwischen {low} und {high} Prozent.",
}
# fmt: on
