"""German for the client's page: the range in one line, its dots, and what they come to."""

from __future__ import annotations

# fmt: off
GERMAN_PAGE: dict[str, str] = {
    "page.lead": "Körperfett: wahrscheinlich {low} bis {high}\u00a0%",
    "page.dots": "Keine Methode ist ganz genau. Jeder Punkt steht für einen möglichen Wert Ihres"
        " Körperfetts. Alle sind gleich wahrscheinlich; 16 von 20 liegen in diesem Bereich.",
    "page.apart": "Die Messwerte von heute passen nicht zusammen. Lassen Sie uns die Messung"
        " wiederholen.",
    "page.apart_sites": "Noch einmal messen möchten wir: {sites}.",
    "page.apart_all": "Am besten messen wir alles noch einmal.",
    "page.until_then": "Bis dahin können wir nur sagen: Ihr Körperfett liegt wahrscheinlich zwischen"
    " {low} und {high}\u00a0%.",
    "page.read_or_not": "Sie können die Zahlen lesen, müssen es aber nicht. Wenn eine Zahl Sie"
        " beunruhigt, sprechen Sie uns oder Ihre Arztpraxis darauf an.",
    "page.contact": "Kontakt",
    "page.methods": "Ergebnisse der einzelnen Methoden",
    "zone.lighter_match": "unter dem Üblichen",
    "zone.above_match": "über dem Üblichen",
    "zone.well_above_match": "deutlich über dem Üblichen",
    "zones.all": "Alle 20 Punkte liegen in der Zone „{zone}“.",
    "picture.dots": "Zwanzig Punkte auf einer Linie für Körperfett, alle gleich wahrscheinlich; 16"
        " liegen zwischen {low} und {high}\u00a0%.",
    "zone.healthy_match": "üblich für {sex, select, female {Frauen} other {Männer}} Ihres Alters",
    "zones.two": "{first} von 20 Punkten liegen in der Zone „{zone}“; {second} in „{second_zone}“.",
    "zones.three": "{first} von 20 Punkten liegen in der Zone „{zone}“; {second} in"
        " „{second_zone}“, {third} in „{third_zone}“.",
    "zones.four": "{first} von 20 Punkten liegen in der Zone „{zone}“; {second} in"
        " „{second_zone}“, {third} in „{third_zone}“, {fourth} in „{fourth_zone}“.",
    "page.masses": "Von Ihren {weight} sind etwa {fat_low} bis {fat_high} {unit} Fett; etwas Fett"
        " braucht jeder Körper. Der Rest, {rest_low} bis {rest_high} {unit}, ist fettfreie Masse:"
        " Muskeln, Knochen, Organe und Wasser.",
    "page.repeat": "Nächste Messung frühestens in {weeks, plural, one {# Woche} other {# Wochen}},"
        " durch dieselbe Person und mit denselben Geräten.",
    "page.repeat_then": "Nächste Messung danach, frühestens in {weeks, plural, one {# Woche} other"
        " {# Wochen}}, durch dieselbe Person und mit denselben Geräten.",
    "page.folds": "{count, plural, one {# Hautfalte} other {# Hautfalten}}",
    "page.girths": "{count, plural, one {# Umfang} other {# Umfänge}}",
    "page.breadths": "Breite von {count, plural, one {# Knochen} other {# Knochen}}",
    "page.scale": "Geschätzt wird, was eine {reference_method, select, density {Unterwasserwägung}"
        " other {DXA-Messung (Körperscan)}} ergeben würde.",
    "page.local": "Wir haben unsere Messungen mit {reference_method, select, density"
        " {Unterwasserwägungen} other {DXA-Messungen (Körperscans)}} verglichen; der Bereich"
        " berücksichtigt das.",
}
# fmt: on
