"""Español: what a client hears or reads in a session, by the keys of ``text/en/spoken.py``."""

from __future__ import annotations

# fmt: off
SPANISH_SPOKEN: dict[str, str] = {
    "ask.sex": "¿Qué fórmulas se ajustan mejor a usted: las de mujeres, las de hombres o ambas?"
        " No hace falta que coincida con su género; con ambas hay dos resultados.",
    "ask.age_years": "¿Cuántos años tiene?",
    "ask.guardian": "¿Le acompaña su madre, su padre o la persona que tiene su tutela, y va a"
        " quedarse?",
    "ask.go_on": "¿Quiere seguir hoy con las mediciones?",
    "ask.still": "Esto es lo que nos dijo la última vez. ¿Sigue siendo todo correcto?",
    "tell.before_consent": "Primero le preguntaré por su salud. Después mediré su peso, su"
        " estatura y las zonas que usted acepte. Puede saltarse cualquier pregunta y parar en"
        " cualquier momento. Todas las personas que usan este registro pueden leer lo que se"
        " guarda en él. No enviamos nada a ninguna consulta médica sin su permiso. Puede pedirnos"
        " en cualquier momento que lo borremos.",
    "tell.skip": "Puede saltarse cualquier pregunta.",
    "tell.consent": "Puede decir que no a lo que quiera. Eso solo cambia lo que medimos.",
    "tell.eating_concern": "No hace falta medir hoy, y no mostraremos cifras. Si le preocupa su"
        " relación con la comida, podemos decirle quién puede ayudarle.",
    "ask.consent.store": "¿Podemos guardar lo que nos diga y lo que midamos hoy? Si no, mostramos"
        " los resultados una vez y no guardamos nada.",
    "ask.pregnant": "¿Está embarazada?",
    "ask.birth_months_ago": "¿Ha dado a luz en los últimos dos años?",
    "ask.periods_stopped": "¿Lleva tres meses o más sin menstruación y sin un motivo conocido?",
    "ask.eating_concern": "¿Tiene o ha tenido un trastorno de la conducta alimentaria, o le"
        " preocupa la comida, su peso o el hecho de que le midan?",
    "ask.symptoms": "¿Ha tenido algo de esto en las últimas semanas?",
    "ask.conditions": "¿Tiene algo de esto?",
    "ask.medicines": "¿Toma alguno de estos medicamentos?",
    "ask.surgery_months_ago": "¿Le han operado en los últimos doce meses?",
    "ask.blood_pressure_mmhg": "¿Le han tomado la presión arterial hace poco, y sabe el resultado?",
    "ask.earlier_weight_kg": "¿Sabe cuánto pesaba hace unos meses?",
    "ask.athlete": "¿Entrena fuerte casi todos los días, por deporte o para ganar fuerza?",
    "ask.anabolic_drugs": "Si quiere decirlo, ¿toma anabolizantes (como testosterona)? Añaden"
        " músculo y agua, así que los métodos basados en el peso calculan más grasa de la que"
        " hay.",
    "ask.family_background": "Si quiere decirlo, ¿cuál es el origen de su familia? Algunos"
        " límites de salud cambian según el origen, y el intervalo cambia en las personas adultas"
        " negras.",
    "more.birth_months_ago": "¿Hace cuántos meses fue el parto?",
    "more.surgery_months_ago": "¿Hace cuántos meses fue la operación?",
    "more.operated": "¿Dónde fue la operación: en el abdomen, en el pecho o en otro lugar?",
    "more.blood_pressure_mmhg": "¿Qué presión arterial le salió, por ejemplo 142/91?",
    "more.earlier_weight_kg": "¿Cuánto pesaba hace unos meses?",
    "more.earlier_weight_months_ago": "¿Hace cuántos meses fue eso?",
    "ask.loss_wanted": "Pesa menos que los {weight} que nos dijo. ¿Quería bajar de peso?",
    "ask.consent.touch": "¿Puedo tocarle para encontrar las zonas y colocar la cinta?",
    "ask.consent.touch_tape": "¿Puedo tocarle para colocar la cinta?",
    "ask.consent.pinch": "¿Puedo tomar pliegues cutáneos y medirlos con el plicómetro?",
    "ask.consent.uncover": "¿Podemos apartar la ropa en las zonas de medición?",
    "ask.consent.chest_folds": "Este plan incluye pliegues cutáneos en el pecho, que se pueden"
        " omitir. ¿Puedo medirlos?",
    "ask.consent.chest_girths": "Este plan incluye el perímetro del pecho, que se puede omitir."
        " ¿Puedo medirlo?",
    "ask.consent.mark": "¿Puedo marcar la piel con un marcador lavable?",
    "ask.consent.writer": "¿Puede otra persona anotar los números que yo lea en voz alta?",
    "ask.consent.show": "¿Quiere ver hoy los resultados?",
    "ask.consent.share": "¿Podemos enviar los resultados a una consulta médica si hace falta?",
    "ask.consent.witness": "¿Quiere que alguien de confianza, o de su mismo sexo, esté aquí o le"
        " mida?",
    "ask.prepared.skin": "¿Tiene la piel seca y sin crema?",
    "ask.prepared.rested": "¿Ha pasado el día de hoy sin ejercicio intenso, sauna ni baño"
        " caliente?",
    "ask.plan": "¿Qué le gustaría que midiéramos?",
    "plan.seven": "Siete pliegues cutáneos y la cintura.",
    "plan.four": "Cuatro pliegues cutáneos (brazo, espalda, cadera) y la cintura.",
    "plan.three": "Tres pliegues cutáneos y la cintura.",
    "plan.tape": "Solo cinta métrica, sin pliegues cutáneos.",
    "plan.quick": "Peso, estatura y cintura.",
    "plan.build": "Cinco pliegues cutáneos, y cinta en la cintura, el brazo y la pantorrilla:"
        " muestra si hay más músculo.",
    "plan.adaptive": "Peso, estatura y cintura, y después un punto tras otro, según las medidas.",
    "tell.then_chosen": "Después elegimos un punto tras otro. Puede decir que no a cada uno.",
    "bare.chest": "el pecho",
    "bare.side_of_chest": "el costado del pecho",
    "bare.upper_arm": "el brazo",
    "bare.upper_back": "la parte alta de la espalda",
    "bare.belly": "el abdomen",
    "bare.waistband": "la piel encima del hueso de la cadera (bajando un poco la cintura del"
        " pantalón)",
    "bare.thigh": "el muslo",
    "bare.lower_leg": "la pierna por debajo de la rodilla",
    "stand.scale": "Por favor, quítese los zapatos y la ropa pesada y vacíe los bolsillos."
        " Permanezca sin moverse en el centro de la báscula.",
    "stand.board": "Por favor, quítese los zapatos. Junte los talones, apoye la espalda en el"
        " tallímetro y respire hondo.",
    "stand.relaxed": "Por favor, relájese de pie, con los brazos colgando.",
    "stand.arm_lifted": "Por favor, de pie, levante un poco el brazo derecho.",
    "stand.elbow_then_hang": "Por favor, doble el codo en ángulo recto. Después deje colgar el"
        " brazo.",
    "stand.palm_forward": "Por favor, deje colgar el brazo, con la palma hacia delante.",
    "stand.belly_relaxed": "Por favor, relaje el abdomen y suelte el aire sin forzar.",
    "stand.arm_away": "Por favor, junte los pies y aparte el brazo.",
    "stand.arm_across": "Por favor, cruce el brazo sobre el pecho.",
    "stand.other_leg": "Por favor, apoye el peso en la otra pierna y doble un poco la rodilla.",
    "stand.foot_on_box": "Por favor, ponga el pie en el cajón, con la cadera y la rodilla en"
        " ángulo recto.",
    "stand.mouth_closed": "Por favor, mantenga la cabeza recta y la boca cerrada.",
    "stand.eyes_forward": "Por favor, mire al frente y baje los hombros.",
    "stand.arms_lifted": "Por favor, levante los brazos, bájelos de nuevo y suelte el aire sin forzar.",
    "stand.arms_down": "Por favor, deje colgar los brazos y suelte el aire sin forzar.",
    "stand.breath": "Por favor, junte los pies, deje los brazos a los lados y suelte el aire sin"
        " forzar.",
    "stand.feet_together": "Por favor, junte los pies y relaje los músculos.",
    "stand.both_feet": "Por favor, reparta el peso entre los dos pies.",
    "stand.arm_hanging": "Por favor, deje colgar el brazo.",
    "stand.fist": "Por favor, ponga el brazo horizontal hacia delante, doble el codo y cierre el"
        " puño con fuerza.",
    "stand.palm_up": "Por favor, gire la palma hacia arriba y relaje el brazo.",
    "stand.palm_down": "Por favor, gire la palma hacia abajo.",
    "stand.elbow_bent": "Por favor, doble el codo en ángulo recto.",
    "stand.seated": "Por favor, siéntese con la rodilla en ángulo recto.",
    "told.age": "ahora {age} años",
    "told.since": "{months, plural, =0 {este mes} one {hace # mes} other {hace # meses}}",
    "told.weight": "{weight}, {months, plural, =0 {este mes} one {hace # mes} other {hace #"
        " meses}}",
    "told.place": "{months, plural, =0 {este mes} one {hace # mes} other {hace # meses}} ({place})",
    "bare.clothing": "{worn, select, underwear {ropa interior, sin zapatos} other {ropa ligera,"
        " sin zapatos}}",
    "bare.free": "{worn, select, underwear {ropa interior, sin zapatos} other {ropa ligera, sin"
        " zapatos}}; al descubierto: {places}",
    "bare.free_already": "{worn, select, underwear {ropa interior, sin zapatos} other {ropa"
        " ligera, sin zapatos}}; solo si ya está al descubierto: {places}",
    "tell.planned": "Mediremos lo siguiente: {what}.",
    "tell.plan": "{minutes, plural, one {Alrededor de {span} minuto} other {Unos {span}"
        " minutos}}. Ropa: {clothing}.",
    "aloud.pair": (
        "{low, select,"
        " skinfold {Los pliegues dan}"
        " girth {La cinta da}"
        " mass_height {El peso y la estatura dan}"
        " other {La cintura y la estatura dan}"
        "} alrededor del {low_percent}\u00a0%; {high, select,"
        " skinfold {los pliegues,}"
        " girth {la cinta,}"
        " mass_height {el peso y la estatura,}"
        " other {la cintura y la estatura,}"
        "} alrededor del {high_percent}\u00a0%: {why, select,"
        " slip {puede que uno de los números esté mal, así que vamos a repetir la medición}"
        " more_muscle {usted tiene más músculo que la mayoría, y el peso por sí solo no distingue"
        " el músculo de la grasa}"
        " less_muscle {el peso por sí solo no dice qué parte es músculo}"
        " belly_fat {los pliegues solo muestran la grasa que está justo debajo de la piel, pero"
        " la cinta en la cintura recoge también la grasa más profunda}"
        " fat_under_skin {una parte mayor de su grasa está justo debajo de la piel, y la cinta la"
        " refleja menos}"
        " one_part {cada uno mira una parte distinta del cuerpo}"
        " weight_and_height {el peso y la estatura no distinguen el músculo de la grasa}"
        " usual_gap {se elaboraron con grupos de personas distintos, y a menudo difieren así}"
        " age_term {tienen en cuenta la edad de maneras distintas}"
        " deeper_fat {los pliegues solo muestran la grasa que está justo debajo de la piel, pero"
        " su peso incluye también la grasa más profunda}"
        " under_skin {una parte mayor de su grasa está justo debajo de la piel, donde los"
        " pliegues la muestran y el peso por sí solo no}"
        " other {todavía no sabemos el motivo}"
        "}."
    ),
}
# fmt: on
