"""Español, page: the range in one line, its dots, what changed, and its pictures, by their keys."""

from __future__ import annotations

# fmt: off
SPANISH_PAGE: dict[str, str] = {
    "page.title": "Su medición",
    "page.title_careful": "Su visita",
    "page.day": "Fecha",
    "page.tester": "Realizada por",
    "page.code": "Su código",
    "page.lead": "Grasa corporal probable: del {low} al {high}\u00a0%",
    "page.dots": "Ningún método es exacto. Los 20 puntos son valores posibles, igual de probables;"
        " 16 están en este intervalo.",
    "page.apart": "Las mediciones de hoy no concuerdan entre sí. Hay que repetirlas.",
    "page.apart_sites": "Nos gustaría volver a medir lo siguiente: {sites}.",
    "page.apart_all": "Nos gustaría hacer todas las mediciones otra vez.",
    "page.until_then": "Hasta entonces, solo podemos decir que su grasa corporal está"
        " probablemente entre el {low} y el {high}\u00a0%.",
    "page.chance": "{band} ({chance}\u00a0de\u00a0100)",
    "zone.lighter_match": "menos de lo habitual",
    "zone.above_match": "más de lo habitual",
    "zone.well_above_match": "mucho más de lo habitual",
    "zones.all": "Los 20 puntos están en la zona “{zone}”.",
    "page.almost_sure": "más de 99",
    "page.hardly": "menos de 1",
    "page.change": "Qué ha cambiado",
    "page.weight_changed": "Su peso ha pasado de {earlier} a {later}.",
    "page.weight_real": "Su peso ha pasado de {earlier} a {later}; este cambio sí es claro.",
    "page.share_no_telling": "En proporción a su peso, la grasa puede seguir igual.",
    "page.next": "Próximos pasos",
    "page.repeat_soon": "Vuelva pronto para repetir todas las mediciones. Hasta entonces, no dé"
        " por buenas estas cifras.",
    "page.strength": "A partir de los 65 años, tener fuerza y caminar bien importa más que el"
        " porcentaje de grasa.",
    "page.ask": "Pregunte lo que quiera, aquí o en una consulta médica.",
    "page.contact": "Contacto",
    "page.methods": "Resultado de cada método",
    "page.read_or_not": "Si lo prefiere, no lea las cifras. Si alguna le preocupa, háblelo con"
        " nosotros o en una consulta médica.",
    "page.measured": "Mediciones: {what}.",
    "page.weight": "peso",
    "page.height": "estatura",
    "page.printed": "Usamos las fórmulas exactamente como se publicaron.",
    "page.sources": "Referencias: {names}.",
    "standard.who": "OMS",
    "page.not_verified": "{name} (límites aún no comprobados en la fuente)",
    "page.screening": "Esta hoja es orientativa; no es un diagnóstico.",
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
    "zone.healthy_match": "habitual en {sex, select, female {mujeres} other {hombres}} de su edad",
    "zones.two": "De los 20 puntos, {first} están en la zona “{zone}”, y {second}, en"
        " “{second_zone}”.",
    "zones.three": "De los 20 puntos, {first} están en la zona “{zone}”; {second}, en"
        " “{second_zone}”, y {third}, en “{third_zone}”.",
    "zones.four": "De los 20 puntos, {first} están en la zona “{zone}”; {second}, en"
        " “{second_zone}”; {third}, en “{third_zone}”, y {fourth}, en “{fourth_zone}”.",
    "page.masses": "De sus {weight}, unos {fat_low} a {fat_high}\u00a0{unit} son grasa; todos"
        " necesitamos un poco. Los otros {rest_low} a {rest_high}\u00a0{unit} son masa libre de"
        " grasa: músculo, hueso, órganos y agua.",
    "page.repeat": "Próxima medición: {weeks, plural, one {pasada al menos # semana} other"
        " {pasadas al menos # semanas}}, con la misma persona y los mismos aparatos.",
    "page.repeat_then": "Siguiente medición: {weeks, plural, one {pasada al menos # semana} other"
        " {pasadas al menos # semanas}}, con la misma persona y los mismos aparatos.",
    "page.folds": "{count, plural, one {# pliegue cutáneo} other {# pliegues cutáneos}}",
    "page.girths": "{count, plural, one {# perímetro} other {# perímetros}}",
    "page.breadths": "ancho de {count, plural, one {# hueso} other {# huesos}}",
    "page.scale": "El intervalo estima lo que mostraría {reference_method, select, density {el"
        " pesaje bajo el agua} other {una densitometría (DXA)}}.",
    "page.local": "Comparamos nuestras mediciones con {reference_method, select, density {el"
        " pesaje bajo el agua} other {densitometrías DXA}}, y este intervalo lo tiene en cuenta.",
}
# fmt: on
