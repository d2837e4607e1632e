"""Español: the sentences of the client's page, by the keys of ``CLIENT_KEYS``.

Neutral Spanish, for Spain and Latin America, with "usted": a test holds every
language to the same keys and the same values in braces.
"""

from __future__ import annotations

# A doctor is "una consulta médica", "atención médica" or "una revisión médica", and words about the
# reader have no ending for a man or a woman. Sites follow a colon after "medir": with their article.
# \u00a0 stands before %, as Spanish writes it, and keeps a number and its sign on one line.
# fmt: off
SPANISH_SENTENCES: dict[str, str] = {
    "opening": "Su grasa corporal está probablemente entre el {low} y el {high}\u00a0%. Si"
        " midiéramos así a 100 personas, el intervalo incluiría el valor real en unas 80 de"
        " ellas.",
    "why_range": "Ningún método mide la grasa corporal con exactitud. Por eso le damos un"
        " intervalo y no una sola cifra.",
    "next": "La próxima vez podríamos medir algo más: {what}. Así el intervalo sería más estrecho.",
    "end": "Esto es una valoración orientativa, no un diagnóstico. Si lo prefiere, no lea las"
        " cifras. Si alguna le preocupa, háblelo con nosotros o en una consulta médica.",
    "stop": "Las cifras pueden esperar a otro día.",
    "careful_end": "Puede dejar las mediciones en cualquier momento. Siempre puede hablar con"
        " nosotros o en una consulta médica.",
    "verdict.agree": "Los métodos dan resultados parecidos.",
    "verdict.strained": "Hoy los métodos no concuerdan del todo.",
    "verdict.disagree": "Hoy los métodos dan resultados distintos. Lo mejor es volver a medir.",
    "verdict.single": "Solo pudimos usar un método, así que no había con qué compararlo.",
    "verdict.explained": "Los métodos dan resultados distintos. Creemos saber por qué.",
    "reason.slip": "Puede que una medida se haya anotado mal. Nos gustaría repetirla.",
    "reason.more_muscle": "Tiene más músculo que la mayoría en brazos o piernas. El músculo"
        " también pesa; por eso, el peso da una cifra de grasa demasiado alta.",
    "reason.less_muscle": "Sus brazos o sus piernas tienen menos músculo del que cabría esperar"
        " por su peso; por eso, el peso da una cifra de grasa demasiado baja.",
    "reason.belly_fat": "Los pliegues cutáneos solo muestran la grasa que está justo debajo de la"
        " piel. La medida de la cintura refleja también la grasa más profunda.",
    "reason.fat_under_skin": "Una parte mayor de su grasa está justo debajo de la piel. La cinta"
        " métrica en la cintura la refleja menos.",
    "reason.trunk_fat": "Usted tiene más grasa en el tronco que en los brazos y las piernas."
        " Algunos métodos miran solo una parte.",
    "reason.limb_fat": "Usted tiene más grasa en los brazos y las piernas que en el tronco."
        " Algunos métodos miran solo una parte.",
    "reason.bmi_reads_high": "El peso y la estatura no distinguen entre músculo y grasa. Medir el"
        " brazo con una cinta ayudaría.",
    "reason.bmi_reads_low": "El peso y la estatura no distinguen entre músculo y grasa. Medir el"
        " brazo con una cinta ayudaría.",
    "reason.none": "Cada método se elaboró midiendo a otras personas, así que en su caso puede"
        " dar un poco de más o de menos.",
    "caution.low_fat": "Todo el mundo necesita algo de grasa; por favor, no se proponga bajarla"
        " más. En una consulta médica pueden ayudarle con esto.",
    "caution.low_fat_women": "Todo el mundo necesita algo de grasa; por favor, no se proponga"
        " bajarla más. En una consulta médica pueden ayudarle con esto.",
    "no_range_why.E201": "Todavía está creciendo, así que las cifras de adultos no le sirven. En"
        " una consulta médica pueden mirar con usted su curva de crecimiento.",
    "no_range_why.E202": "Estos métodos no sirven durante el embarazo. Su matrona o partera, o su"
        " consulta médica, puede seguir su peso.",
    "no_range_why.E204": "Estos métodos no sirven en los primeros seis meses después de un parto."
        " Su matrona o partera, o su consulta médica, puede seguir su peso.",
    "no_range_why.E205": "Nuestros métodos no le darían una cifra correcta. En una consulta médica"
        " pueden usar otros.",
    "no_range_why.E206": "Hoy nuestros métodos no le darían una cifra correcta. En una consulta"
        " médica pueden usar otros.",
    "no_range_why.E207": "Hemos calculado dos resultados. Por favor, pídanos que le mostremos"
        " los dos.",
    "no_range_why.E203": "Primero necesitamos medir un poco más.",
    "elsewhere.fits": "El {percent}\u00a0% que le dieron en otro lugar concuerda con esto.",
    "elsewhere.apart": "El {percent}\u00a0% que le dieron en otro lugar no concuerda bien con esto.",
    "elsewhere.used": "El intervalo también tiene en cuenta el {percent}\u00a0% que le dieron en"
        " otro lugar.",
    "elsewhere.other_day": "El {percent}\u00a0% que le dieron en otro lugar se midió en otro"
        " momento.",
    "elsewhere.does_not_add_up": "La hoja que indica un {percent}\u00a0% tiene un error: sus"
        " propios números no cuadran.",
    "flag.heart_signs": "Esto no puede esperar: por favor, llame ahora al número de emergencias."
        " Paramos aquí y nos quedamos con usted hasta que llegue ayuda.",
    "flag.fainting": "Nos ha dicho que se desmayó o casi se desmayó. Por favor, busque hoy"
        " atención médica. Podemos medir otro día.",
    "flag.self_harm": "Gracias por decírnoslo. No tiene por qué afrontarlo sin ayuda. Un servicio"
        " médico o una línea de ayuda puede atenderle hoy, y le ayudaremos a llamar.",
    "flag.one_leg_swollen": "Por favor, busque hoy atención médica para que le examinen la pierna.",
    "flag.belly_urgent": "Por favor, busque hoy atención médica para que le examinen el abdomen.",
    "flag.belly_fluid": "Por favor, acuda a una consulta médica para que le examinen el abdomen."
        " Vaya hoy mismo si hay dolor, fiebre o piel amarilla.",
    "flag.yellow_skin": "Por favor, acuda a una consulta médica para que le examinen la piel y los"
        " ojos. Vaya hoy mismo si hay fiebre, dolor o somnolencia.",
    "flag.thirst_urgent": "Su sed necesita una valoración médica hoy mismo. Por favor, no espere.",
    "flag.thirst_and_urine": "En una consulta médica pueden averiguar por qué tiene tanta sed. Si"
        " vomita o siente somnolencia, vaya hoy mismo.",
    "flag.pressure_very_high": "Su presión arterial ha salido muy alta. Por favor, busque hoy"
        " atención médica. Si tiene dolor en el pecho, confusión o dificultad para respirar,"
        " llame ahora al número de emergencias.",
    "flag.pregnancy_signs": "Por favor, llame hoy a su matrona o partera, o a su consulta médica.",
    "flag.pressure_raised": "Su presión arterial ha salido alta. Una sola medición alta no es un"
        " diagnóstico. Pida en una consulta médica que vuelvan a tomársela.",
    "flag.swelling": "Con la hinchazón, nuestras cifras no serían correctas. En una consulta"
        " médica pueden encontrar la causa.",
    "flag.uneven_body": "En una consulta médica pueden valorar los cambios en su cuerpo de los que"
        " nos habló.",
    "flag.eating_concern": "¿Le preocupa su relación con la comida? No tiene por qué afrontarlo"
        " sin ayuda. Un servicio médico o especializado en trastornos de la conducta alimentaria"
        " puede ayudarle.",
    "flag.periods_stopped": "Ha dejado de tener la menstruación. En una consulta médica pueden"
        " averiguar por qué. Por favor, no se ponga objetivos hasta entonces.",
    "flag.stress_fractures": "Si una lesión se repite una y otra vez, por favor, coméntela en una"
        " consulta médica.",
    "flag.bmi_severely_low": "Su peso es muy bajo para su estatura. Por favor, busque hoy"
        " atención médica. Podemos ayudarle a llamar.",
    "flag.bmi_clearly_low": "Su peso es bajo para su estatura. En una consulta médica pueden"
        " valorarlo con usted.",
    "flag.bmi_low_with_fast_loss": "Su peso es bajo para su estatura y ha bajado rápido. Por"
        " favor, busque hoy atención médica. Podemos ayudarle a llamar.",
    "flag.thin_for_age_severely": "Su peso es muy bajo para su estatura. Por favor, busque hoy"
        " atención médica, con su madre, su padre o alguien de confianza. Podemos ayudarle a"
        " llamar.",
    "flag.thin_for_age": "Su peso es bajo para su estatura. Por favor, acuda a una consulta"
        " médica, con su madre, su padre o alguien de confianza.",
    "flag.low_weight_limb_severely": "Su peso es muy bajo para su estatura. Por favor, busque"
        " hoy atención médica. Podemos ayudarle a llamar.",
    "flag.low_weight_limb": "Su peso parece bajo. Puede deberse a la extremidad que falta; en una"
        " consulta médica pueden aclararlo.",
    "flag.bmi_low_older": "Su peso es bajo para su edad. Por favor, coméntelo en una consulta"
        " médica.",
    "flag.bmi_light_older": "Su peso es un poco bajo para su edad. Por favor, no intente bajar de"
        " peso. En una consulta médica pueden valorarlo con usted.",
    "flag.bmi_low_with_loss": "Su peso es bajo para su estatura y ha disminuido. Por favor,"
        " coméntelo en una consulta médica.",
    "flag.bmi_low_for_illness": "Su peso es un poco bajo, y ha perdido peso o está comiendo poco."
        " En una consulta médica pueden ayudarle.",
    "flag.bmi_low": "Su peso es bajo para su estatura. Si eso es nuevo en su caso, en una consulta"
        " médica pueden valorarlo con usted.",
    "flag.loss_fast": "Ha perdido peso rápido sin proponérselo. Por favor, acuda a una consulta"
        " médica para averiguar por qué.",
    "flag.loss_unplanned": "Ha perdido peso sin proponérselo. En una consulta médica pueden"
        " averiguar por qué.",
    "flag.loss_with_worry": "Su peso ha bajado más de lo aconsejable. Por favor, coméntelo en una"
        " consulta médica.",
    "flag.height_lost": "Al medir su estatura, salió menor que antes. Por favor, coméntelo en una"
        " consulta médica para que le revisen los huesos.",
    "flag.loss_large_not_asked": "Ha perdido mucho peso en poco tiempo. Por favor, coméntelo en"
        " una consulta médica.",
    "flag.loss_large_undated": "Ha perdido mucho peso. Si no lo tenía previsto, coméntelo en una"
        " consulta médica.",
    "flag.weakness": "En una consulta médica pueden averiguar por qué siente debilidad, camina"
        " despacio o se cae.",
    "flag.not_well": "Usted no se encuentra bien, así que medir puede esperar. Por favor, acuda a"
        " una consulta médica si no mejora.",
    "flag.loss_not_asked": "Su peso ha bajado. Si no quería bajar de peso, en una consulta médica"
        " pueden averiguar por qué.",
    "flag.loss_planned_fast": "Está bajando de peso deprisa. Hacerlo más despacio es mejor para"
        " sus músculos. En una consulta médica pueden ayudarle a planificarlo.",
    "flag.weight_with_signs": "Por algunas de sus respuestas, conviene una revisión médica.",
    "flag.bmi_very_far_above": "Por favor, hágase una revisión médica, a menos que ya tenga una"
        " prevista.",
    "flag.bmi_far_above": "Por favor, hágase una revisión médica, a menos que ya tenga una"
        " prevista.",
    "flag.waist_six_tenths": "Su perímetro de cintura es elevado para su estatura. Puede afectar a"
        " su salud; por favor, coméntelo en una consulta médica.",
    "flag.weight_and_waist": "Si este año no se ha hecho una revisión médica, por favor, hágase"
        " una.",
    "flag.central_fat": "Su perímetro de cintura es elevado para su estatura. El peso por sí solo"
        " no lo muestra. Puede hablarlo con nosotros o en una consulta médica.",
    "flag.fat_very_low": "Su cuerpo tiene muy poca grasa, y necesita algo. Por favor, no se"
        " proponga bajarla más. En una consulta médica pueden valorarlo con usted.",
    "flag.folds_very_low": "Su cuerpo tiene muy poca grasa, y necesita algo. Por favor, no se"
        " proponga bajarla más. En una consulta médica pueden valorarlo con usted.",
    "flag.fat_near_minimum": "Su cuerpo tiene poca grasa, y necesita algo. Por favor, no se"
        " proponga bajarla más.",
    "flag.lean_low_with_loss": "Ha perdido peso, y una parte puede ser músculo. En una consulta"
        " médica pueden ayudarle a recuperarlo.",
    "flag.lean_low": "Un poco más de músculo le vendría bien. Si está bajando de peso, acuda"
        " también a una consulta médica.",
    "flag.muscle_and_weight": "Ahora importa más ganar fuerza que el peso. En una consulta médica"
        " pueden evaluar su fuerza con usted.",
    "flag.muscle_signs": "Ganar fuerza le vendría bien. En una consulta médica pueden evaluar su"
        " fuerza y cómo camina.",
    "flag.bleeding": "En su caso, medir pliegues puede dejar moretones; es mejor la cinta métrica."
        " Pregunte en su consulta médica.",
    "flag.do_not_pinch": "Algunas zonas es mejor no tocarlas. No las medimos, y no pasa nada.",
    "flag.recent_surgery": "No mediremos cerca de la zona de su operación hasta que haya sanado.",
    "flag.belly_not_valid": "Ahora su cintura es difícil de medir; por favor, no se guíe solo"
        " por ella.",
    "flag.body_not_valid": "Algunos de nuestros métodos no serían adecuados para usted. En una"
        " consulta médica pueden usar otros.",
    "flag.medicines": "Algunos medicamentos cambian la grasa o el agua del cuerpo, así que nuestro"
        " intervalo puede ser menos fiable.",
    "flag.anabolic_drugs": "Lo que toma para ganar músculo también añade agua, así que nuestro"
        " intervalo puede ser menos fiable. Por favor, coméntelo en una consulta médica.",
    "flag.strong_build": "El peso y la estatura no distinguen entre músculo y grasa. En su caso,"
        " orientan mejor la cintura y el intervalo.",
    "careful_flag.refer_soon": "Podemos ayudarle a pedir una cita médica.",
    "careful_flag.refer_urgently": "Por favor, busque hoy atención médica. Podemos ayudarle a"
        " llamar.",
    "site.weight_kg": "el peso",
    "site.height_cm": "la estatura",
    "site.chest_mm": "un pliegue cutáneo en el pecho",
    "site.midaxillary_mm": "un pliegue cutáneo en el costado del pecho",
    "site.triceps_mm": "un pliegue cutáneo en la parte de atrás del brazo",
    "site.biceps_mm": "un pliegue cutáneo en la parte de delante del brazo",
    "site.subscapular_mm": "un pliegue cutáneo en la parte alta de la espalda",
    "site.abdominal_mm": "un pliegue cutáneo en el abdomen",
    "site.suprailiac_anterior_mm": "un pliegue cutáneo encima de la cadera",
    "site.suprailiac_midaxillary_mm": "un pliegue cutáneo encima de la cadera",
    "site.supraspinale_mm": "un pliegue cutáneo encima de la cadera",
    "site.thigh_mm": "un pliegue cutáneo en el muslo",
    "site.calf_mm": "un pliegue cutáneo en la pantorrilla",
    "site.chin_mm": "un pliegue cutáneo debajo del mentón",
    "site.neck_cm": "el cuello",
    "site.chest_girth_cm": "el perímetro del pecho",
    "site.breast_girth_cm": "el perímetro del busto",
    "site.waist_narrowest_cm": "la cintura",
    "site.waist_midpoint_cm": "la cintura",
    "site.waist_iliac_cm": "la cintura",
    "site.abdomen_navel_cm": "la cintura a la altura del ombligo",
    "site.hip_cm": "la cadera",
    "site.thigh_upper_girth_cm": "la parte alta del muslo",
    "site.thigh_mid_girth_cm": "la parte media del muslo",
    "site.knee_girth_cm": "la rodilla",
    "site.calf_girth_cm": "la pantorrilla",
    "site.ankle_girth_cm": "el tobillo",
    "site.arm_relaxed_girth_cm": "el brazo relajado",
    "site.arm_flexed_girth_cm": "el brazo contraído",
    "site.forearm_girth_cm": "el antebrazo",
    "site.wrist_girth_cm": "la muñeca",
    "site.elbow_breadth_cm": "el ancho del codo",
    "site.knee_breadth_cm": "el ancho de la rodilla",
    "site.wrist_breadth_cm": "el ancho de la muñeca",
    "band.severely_low": "muy bajo para la estatura",
    "band.clearly_low": "claramente bajo para la estatura",
    "band.low": "bajo para la estatura",
    "band.usual": "en el intervalo saludable habitual",
    "band.above": "por encima de lo habitual",
    "band.well_above": "bastante por encima de lo habitual",
    "band.far_above": "muy por encima de lo habitual",
    "band.very_far_above": "muy por encima de lo habitual, en el nivel más alto",
    "band.light_for_age": "algo bajo para esta edad",
    "band.usual_for_age": "en el intervalo de menor riesgo a esta edad",
    "band.heavy_for_age": "por encima del intervalo de menor riesgo a esta edad",
    "band.small_for_height": "pequeña para la estatura",
    "band.under_half": "menos de la mitad de la estatura",
    "band.half_or_more": "la mitad de la estatura o más",
    "band.six_tenths_or_more": "el 60\u00a0% de la estatura o más",
    "band.below_raised": "por debajo del límite de riesgo aumentado",
    "band.raised": "en el intervalo de riesgo aumentado",
    "band.high": "en el intervalo de riesgo alto",
    "band.below_central": "por debajo del límite de grasa abdominal",
    "band.central": "en el límite de grasa abdominal o por encima",
    "band.below_high_for_class": "no alta para esta categoría de IMC",
    "band.high_for_class": "alta para esta categoría de IMC",
    "band.lighter_match": "por debajo del intervalo que corresponde a un peso saludable",
    "band.healthy_match": "en el intervalo que corresponde a un peso saludable",
    "band.above_match": "por encima del intervalo que corresponde a un peso saludable",
    "band.well_above_match": "bastante por encima del intervalo que corresponde a un peso saludable",
    "band.no_case_seen": "donde el estudio no encontró casos",
    "band.few_cases": "donde los casos fueron raros en el estudio",
    "band.risk_clusters": "donde los casos empezaron a ser más frecuentes",
    "band.risk_common": "donde los casos fueron frecuentes",
    "band.below_bmi_30_match": "por debajo del nivel que corresponde a un IMC de 30",
    "band.bmi_30_match_or_more": "en el nivel que corresponde a un IMC de 30 o por encima",
    "band.below_span": "por debajo del intervalo de referencia",
    "band.in_span": "en el intervalo de referencia",
    "band.above_span": "por encima del intervalo de referencia",
    "band.below_minimum": "por debajo del mínimo exigido en el deporte",
    "band.at_or_above_minimum": "en el mínimo exigido en el deporte o por encima",
    "band.severe_shortage": "mucha menos grasa de lo habitual para la estatura",
    "band.moderate_shortage": "menos grasa de lo habitual para la estatura",
    "band.mild_shortage": "algo menos de grasa de lo habitual para la estatura",
    "band.usual_fat": "grasa habitual para la estatura",
    "band.excess": "más grasa de lo habitual para la estatura",
    "band.class_1": "grasa bastante por encima de lo habitual para la estatura (clase 1)",
    "band.class_2": "grasa muy por encima de lo habitual para la estatura (clase 2)",
    "band.class_3": "grasa muy por encima de lo habitual para la estatura, en el nivel más alto"
        " (clase 3)",
    "band.low_lean": "masa libre de grasa baja para la estatura",
    "band.not_low_lean": "masa libre de grasa no baja para la estatura",
    "family.skinfold": "pliegues cutáneos",
    "family.girth": "perímetros",
    "family.mass_height": "peso y estatura",
    "family.waist_height": "cintura y estatura",
    "no_range": "Hoy no le damos una cifra de grasa corporal.",
    "no_range_ask": "Si tiene preguntas, puede plantearlas aquí o en una consulta médica.",
    "careful": "Gracias por venir.",
    "careful_why": "Hoy dejamos a un lado las cifras y los objetivos. Lo que más importa es cómo"
        " se siente.",
    "both_sexes": "Según las fórmulas hechas para mujeres, su grasa corporal está probablemente"
        " entre el {female_low} y el {female_high}\u00a0%; según las hechas para hombres, entre"
        " el {male_low} y el {male_high}\u00a0%.",
    "both_sexes_why": "Nadie puede decir cuál se ajusta mejor a usted, así que guíese por su"
        " cintura y por los cambios con el tiempo.",
}
# fmt: on
