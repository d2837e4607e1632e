"""Español, page: the range in one line, its dots, what changed, and its pictures, by their keys."""

from __future__ import annotations

# fmt: off
SPANISH_PAGE: dict[str, str] = {
    "page.title": "Su medición",
    "page.title_careful": "Su visita",
    "page.day": "Fecha",
    "page.tester": "Realizada por",
    "page.code": "Su código",
    "page.lead": "Grasa corporal probable: de {low} a {high}\u00a0%",
    "page.dots": "Ningún método es exacto. Cada punto es un valor igualmente probable de su"
        " grasa corporal real; 16 de los 20 están en este intervalo.",
    "page.apart": "Las mediciones de hoy no coinciden. Vamos a repetirlas.",
    "page.apart_sites": "Nos gustaría volver a medir lo siguiente: {sites}.",
    "page.apart_all": "Nos gustaría hacer todas las mediciones otra vez.",
    "page.until_then": "Hasta entonces, solo podemos decir que su grasa corporal está"
        " probablemente entre el {low} y el {high}\u00a0%.",
    "page.chance": "{band} ({chance}\u00a0de\u00a0100)",
    "zone.lighter_match": "menos de lo habitual",
    "zone.healthy_match": "habitual en {whom} de su edad",
    "zone.above_match": "más de lo habitual",
    "zone.well_above_match": "mucho más de lo habitual",
    "whom.female": "mujeres",
    "whom.male": "hombres",
    "zones.all": "Los 20 puntos están en la zona “{zone}”.",
    "zones.most": "{count} de los 20 puntos están en la zona “{zone}”; {others}.",
    "zones.other": "{count} en “{zone}”",
    "together.usual": "{usual}.",
    "together.high": "{high}.",
    "together.both": "{usual}; {high}.",
    "together.weight_alone": "{usual}; solo el peso queda un poco alto, algo frecuente cuando"
        " hay más músculo.",
    "usual.fat_percent": "su grasa corporal parece estar dentro de lo habitual",
    "usual.waist_to_height": "su cintura parece estar dentro de lo habitual",
    "usual.bmi": "su peso parece estar dentro de lo habitual",
    "usual.fat_percent+waist_to_height": "su grasa corporal y su cintura parecen estar dentro de"
        " lo habitual",
    "usual.fat_percent+bmi": "su grasa corporal y su peso parecen estar dentro de lo habitual",
    "usual.waist_to_height+bmi": "su cintura y su peso parecen estar dentro de lo habitual",
    "usual.fat_percent+waist_to_height+bmi": "su grasa corporal, su cintura y su peso parecen"
        " estar dentro de lo habitual",
    "high.fat_percent": "su grasa corporal parece superar lo habitual",
    "high.waist_to_height": "su cintura es ancha para su estatura",
    "high.bmi": "su peso parece superar lo habitual",
    "high.fat_percent+waist_to_height": "su grasa corporal y su cintura parecen superar lo"
        " habitual",
    "high.fat_percent+bmi": "su grasa corporal y su peso parecen superar lo habitual",
    "high.waist_to_height+bmi": "su cintura y su peso parecen superar lo habitual",
    "high.fat_percent+waist_to_height+bmi": "su grasa corporal, su cintura y su peso parecen"
        " superar lo habitual",
    "page.almost_sure": "más de 99",
    "page.hardly": "menos de 1",
    "page.masses": "De sus {weight}, aproximadamente {fat} son grasa; todo cuerpo necesita algo."
        " El resto, {rest}, es masa libre de grasa: músculo, huesos, órganos y agua.",
    "page.change": "Qué ha cambiado",
    "page.since_day": "Desde el {day},",
    "page.since_last": "Desde la última vez,",
    "page.over_visits": "En {visits} visitas, desde el {day},",
    "page.real_down": "{since} su grasa corporal ha bajado unos {points} puntos porcentuales"
        " (intervalo: {low}–{high}). Supera el error de medición.",
    "page.real_up": "{since} su grasa corporal ha subido unos {points} puntos porcentuales"
        " (intervalo: {low}–{high}). Supera el error de medición.",
    "page.maybe_down": "{since} su grasa corporal probablemente ha bajado (unas {chance}"
        " posibilidades de 20). Puede ser error de medición.",
    "page.maybe_up": "{since} su grasa corporal probablemente ha subido (unas {chance}"
        " posibilidades de 20). Puede ser error de medición.",
    "page.no_telling": "{since} no hay un cambio claro en su grasa corporal. Al medir siempre"
        " surgen pequeñas diferencias.",
    "page.not_compared": "{since} no podemos comparar: hay muy pocas mediciones en común.",
    "page.weight_changed": "Su peso pasó de {earlier} a {later}.",
    "page.weight_real": "Su peso pasó de {earlier} a {later}, un cambio claro.",
    "page.fat_mass_down": "Eso son {amount} menos de grasa (intervalo: {low}–{high}).",
    "page.fat_mass_up": "Eso son {amount} más de grasa (intervalo: {low}–{high}).",
    "page.fat_only_down": "{since} ha perdido alrededor de {amount} de grasa (intervalo:"
        " {low}–{high}). Supera el error de medición.",
    "page.fat_only_up": "{since} ha ganado alrededor de {amount} de grasa (intervalo:"
        " {low}–{high}). Supera el error de medición.",
    "page.share_maybe_down": "En proporción a su peso, la grasa probablemente ha bajado (unas"
        " {chance} posibilidades de 20).",
    "page.share_maybe_up": "En proporción a su peso, la grasa probablemente ha subido (unas"
        " {chance} posibilidades de 20).",
    "page.share_no_telling": "En proporción a su peso, la grasa puede seguir igual.",
    "page.next": "Próximos pasos",
    "page.repeat": "Vuelva a medirse dentro de {weeks} semanas o más, con la misma persona y los"
        " mismos aparatos.",
    "page.repeat_soon": "Repita pronto todas las mediciones, antes de confiar en estas cifras.",
    "page.strength": "A partir de los 65 años, la fuerza y caminar bien importan más que el"
        " porcentaje de grasa corporal.",
    "page.ask": "Pregúntenos lo que quiera o consulte a un profesional médico.",
    "page.contact": "Contacto",
    "page.methods": "Qué dio cada método",
    "page.span": "{low}–{high}\u00a0{unit}",
    "page.read_or_not": "No hace falta leer las cifras. Si alguna le preocupa, coméntenoslo o"
        " consulte a un profesional médico.",
    "page.measured": "Mediciones: {what}.",
    "page.folds": "{count} pliegues cutáneos",
    "page.one_fold": "1 pliegue cutáneo",
    "page.girths": "{count} perímetros",
    "page.one_girth": "1 perímetro",
    "page.breadths": "ancho de {count} huesos",
    "page.one_breadth": "ancho de 1 hueso",
    "page.weight": "peso",
    "page.height": "estatura",
    "page.scale": "El intervalo estima lo que mostraría {reference_method}.",
    "page.local": "Comparamos nuestras mediciones con {reference_method}, y este intervalo lo"
        " tiene en cuenta.",
    "page.printed": "Usamos las fórmulas exactamente como se publicaron.",
    "page.sources": "Categorías: {names}.",
    "page.not_verified": "{name} (límites aún no comprobados en la fuente)",
    "page.screening": "Esto es una valoración orientativa, no un diagnóstico.",
    "scale.density": "el pesaje bajo el agua",
    "scale.dxa": "una exploración DXA",
    "measure.fat_percent": "Grasa",
    "measure.bmi": "Peso para su estatura",
    "measure.waist_to_height": "Cintura",
    "picture.likely": "{low}–{high}\u00a0%",
    "picture.span": "{low}–{high}\u00a0%",
    "picture.you": "usted: {value}",
    "picture.axis.fat_percent": "grasa corporal (% del peso)",
    "picture.axis.bmi": "índice de masa corporal (kg/m²)",
    "picture.axis.waist_to_height": "cintura dividida entre la estatura",
    "picture.method": "{name}, {low}–{high}\u00a0%",
    "picture.agreement": "Qué da cada método, con su propio intervalo: {methods}. Sombreado"
        " detrás, todos los métodos juntos: {low}–{high}\u00a0%.",
    "picture.bands": "Categorías de {measure} según {name}, de menor a mayor, con la"
        " probabilidad de cada una: {chances}. Sombreado detrás, el intervalo indicado.",
    "picture.dots": "Veinte puntos sobre una línea de grasa corporal, todos igual de probables;"
        " 16 están entre el {low} y el {high}\u00a0%.",
    "picture.in_100": "{chance}\u00a0de\u00a0100",
    "picture.trend": "Intervalo de grasa corporal en cada visita: {visits}. De una visita a"
        " otra: {steps}.",
    "picture.trend_whole": "En el conjunto de las visitas: {points}.",
    "picture.visit": "{day}, {low}–{high}\u00a0%",
    "picture.real": "{points} (cambio claro)",
    "picture.not_real": "sin cambio claro",
    "picture.not_compared": "sin comparar",
    "picture.other_sites": "otras zonas",
    "caption.agreement": "Líneas finas: intervalo y mejor estimación de cada método. Línea"
        " gruesa: todos juntos.",
    "caption.one_way": "Línea fina: su propio intervalo y mejor estimación. Línea gruesa: el"
        " intervalo indicado.",
    "caption.bands": "Más oscuro: más probable; más claro: menos probable.",
    "caption.trend": "Barras: intervalo de cada día. Línea continua: cambio claro, aunque las"
        " barras se solapen; punteada: sin cambio claro.",
}
# fmt: on
