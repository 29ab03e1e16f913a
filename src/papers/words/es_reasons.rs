//! Parts of the refusals and duties that papers show, in Spanish: English beside it, in the order
//! in which they are looked for.

use super::terms::Terms;

pub(crate) const REASONS: Terms = &[
    // How a clause is known.
    ("project default, not law", "valor de este proyecto, no ley"),
    ("common practice, no source", "práctica común, sin fuente"),
    (
        "interval second-hand, clause from memory",
        "plazo de segunda mano, referencia de memoria",
    ),
    // A discharge that is not to be.
    ("list of this project", "lista de este proyecto"),
    (
        "steps X12 and X18 of the procedure",
        "pasos X12 y X18 del procedimiento",
    ),
    ("plate of the load", "placa de la carga"),
    ("load {} ({})", "carga {} ({})"),
    (
        "bring a load that draws {} A at the most: a resistor of {} ohm or more that bears {} W",
        "traer una carga que tome {} A como máximo: una resistencia de {} ohm o más que soporte {} W",
    ),
    (
        "a load that the module can feed",
        "una carga que el módulo pueda alimentar",
    ),
    ("{} W, what it bears", "{} W, lo que soporta"),
    (
        "{} A: 0.2 of the rated capacity",
        "{} A: 0,2 de la capacidad nominal",
    ),
    ("warms the module by {} K", "calienta el módulo {} K"),
    (
        "a cell comes to its least voltage before the target",
        "una celda llega a su tensión mínima antes del objetivo",
    ),
    ("{} V a cell under load", "{} V por celda con carga"),
    ("cells in series", "celdas en serie"),
    ("rated capacity", "capacidad nominal"),
    (
        "known before a discharge is planned",
        "conocida antes de prever una descarga",
    ),
    (
        "read the plate, or ask the maker, and put it into the plan",
        "leer la placa, o preguntar al fabricante, y ponerlo en el plan",
    ),
    ("discharge", "descarga"),
    ("surface", "superficie"),
    ("discharge, air", "descarga, aire"),
    ("discharge, {}", "descarga, {}"),
    ("a chemistry with a curve", "una química con curva"),
    (
        "get the maker's own table of rested cell voltages",
        "conseguir la tabla del fabricante de tensiones de celda en reposo",
    ),
    (
        "sound or suspect, as somebody judged it",
        "sano o sospechoso, según lo juzgó alguien",
    ),
    (
        "leave the charge in it: treat it as full, and let a specialist decide",
        "dejar la carga en él: tomarlo por lleno y que decida un especialista",
    ),
    ("{} °C at most", "{} °C como máximo"),
    ("{} °C at least", "{} °C como mínimo"),
    (
        "bring it to a warmer place and let it warm through, then read again",
        "llevarlo a un lugar más cálido y dejar que se caliente del todo; después medir otra vez",
    ),
    (
        "step away and watch it; it is read again when it has cooled",
        "alejarse y vigilarlo; se mide otra vez cuando se haya enfriado",
    ),
    (
        "no finding that shuts it out",
        "ningún hallazgo que la excluya",
    ),
    (
        "`{}` is {}; the sum holds for {}",
        "`{}` es {}; el cálculo vale para {}",
    ),
    (
        "no more than the {} % of {} Ah that it began with: the count, the starting point or the capacity is wrong",
        "no más que el {} % de {} Ah con que empezó: el recuento, el punto de partida o la capacidad es incorrecto",
    ),
    ("1 to 1000 cells in series", "1 a 1000 celdas en serie"),
    (
        "one value for each of `cells`",
        "un valor para cada una de `cells`",
    ),
    (
        "not above cell_voltage_highest_v",
        "no por encima de cell_voltage_highest_v",
    ),
    // A state of charge that is not proven.
    (
        "a finding says that a cell is outside its limits: its voltage does not count",
        "un hallazgo dice que una celda está fuera de sus límites: su tensión no cuenta",
    ),
    (
        "{} V nominal over {} cells is {} V a cell, and cells of this chemistry have {} to {} V (from memory): chemistry or number of cells is wrong; the voltage does not count",
        "{} V nominales sobre {} celdas son {} V por celda, y las celdas de esta química tienen {} a {} V (de memoria): la química o el número de celdas está mal; la tensión no cuenta",
    ),
    (
        "the number of cells in series is not known: the voltage does not count",
        "el número de celdas en serie no se conoce: la tensión no cuenta",
    ),
    (
        "the reading of {} does not count: {}",
        "la medida de {} no cuenta: {}",
    ),
    (
        "the readings of its charge contradict each other (finding {}): read every cell again with another meter, and correct what was wrong",
        "las medidas de su carga se contradicen (hallazgo {}): leer cada celda otra vez con otro medidor y corregir lo que estaba mal",
    ),
    (
        "its lowest cell loses {} % a day ({}): record finding {}",
        "su celda más baja pierde {} % al día ({}): inscribir el hallazgo {}",
    ),
    (
        "nothing was read of its charge",
        "no se midió nada de su carga",
    ),
    (
        "the management value is doubted by a finding and does not count",
        "el valor del sistema de gestión queda en duda por un hallazgo y no cuenta",
    ),
    (
        "the evidence contradicts itself: at least {} % and at most {} %; record finding F37 and read again",
        "las pruebas se contradicen: al menos {} % y como máximo {} %; inscribir el hallazgo F37 y medir de nuevo",
    ),
    (
        "rest: lithium iron phosphate proves nothing before {} h without current",
        "reposo: el litio ferrofosfato no prueba nada antes de {} h sin corriente",
    ),
    ("no voltage was read", "no se midió ninguna tensión"),
    (
        "a module voltage says nothing of the cells: no cell values, and their spread is not known from elsewhere",
        "una tensión de módulo no dice nada de las celdas: no hay valores de celda, y su dispersión no se conoce por otra vía",
    ),
    (
        "how long it rested is not known; rest it 3 h, LFP 24 h",
        "no se sabe cuánto reposó; dejarlo 3 h, LFP 24 h",
    ),
    (
        "the last place of the meter is {} mV a cell: too coarse to show that it stands still within 1 mV",
        "la última cifra del medidor es {} mV por celda: demasiado gruesa para mostrar que la tensión no cambia en 1 mV",
    ),
    (
        "rested {} h; 3 h at the least, or after 1 h two readings 30 min apart that differ by less than 1 mV a cell",
        "reposó {} h; 3 h como mínimo, o tras 1 h dos medidas con 30 min entre ellas que difieran en menos de 1 mV por celda",
    ),
    (
        "current is {} A; only a cell without current is rested",
        "la corriente es de {} A; solo una celda sin corriente está en reposo",
    ),
    (
        "the current is not known; it must be 0 A",
        "la corriente no se conoce; debe ser 0 A",
    ),
    (
        "surface is {} °C; the sum holds for 5 to 35 °C",
        "la superficie está a {} °C; el cálculo vale de 5 a 35 °C",
    ),
    (
        "the surface temperature is not known",
        "la temperatura de la superficie no se conoce",
    ),
    ("the chemistry is not known", "la química no se conoce"),
    (
        "no published curve is good enough for this chemistry; the maker's own table is needed",
        "ninguna curva publicada es bastante buena para esta química; hace falta la tabla del fabricante",
    ),
    (
        "a cell is outside its maker's limits: record the finding",
        "una celda está fuera de los límites de su fabricante: inscribir el hallazgo",
    ),
    (
        "may be as much as {} %; the limit is {} %",
        "puede ser de hasta {} %; el límite es {} %",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; discharge until the highest rested cell is at {} V or below",
        "hacer una de estas: leer el valor del sistema de gestión; contar la carga desde un punto conocido; descargar hasta que la celda en reposo más alta esté a {} V o menos",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; get the maker's own voltage table",
        "hacer una de estas: leer el valor del sistema de gestión; contar la carga desde un punto conocido; conseguir la tabla de tensiones del fabricante",
    ),
    // Figures of an arc.
    (
        "below 100 V the method is silent, which is not safe",
        "por debajo de 100 V el método calla, lo que no quiere decir seguro",
    ),
    // Instruments that are not in date.
    ("calibration of {}", "calibración: {}"),
    ("electrical test of {}", "ensayo eléctrico: {}"),
    ("clamp meter {}", "pinza amperimétrica {}"),
    ("gas meter {}", "detector de gas {}"),
    ("gloves {}", "guantes aislantes {}"),
    ("insulated tools {}", "herramientas aisladas {}"),
    ("insulation tester {}", "medidor de aislamiento {}"),
    ("lifting aid {}", "ayuda para levantar {}"),
    ("multimeter {}", "multímetro {}"),
    ("proving unit {}", "fuente de comprobación {}"),
    ("scale {}", "báscula {}"),
    ("thermal camera {}", "cámara térmica {}"),
    ("thermometer {}", "termómetro de contacto {}"),
    ("torque wrench {}", "llave dinamométrica {}"),
    ("voltage tester {}", "comprobador bipolar de tensión {}"),
    ("voltmeter {}", "voltímetro {}"),
    (
        "within six months before {}",
        "en los seis meses antes del {}",
    ),
    ("due {}", "vence el {}"),
    ("{} or later", "{} o después"),
    (
        "take gloves that are in date; nobody on site may waive this",
        "tomar guantes vigentes; nadie en el lugar puede dispensar de ello",
    ),
    (
        "take gloves with a readable test date",
        "tomar guantes con fecha de ensayo legible",
    ),
    (
        "use an instrument that is in date, and flag what this one tested since",
        "usar un instrumento vigente, y señalar lo que este comprobó desde entonces",
    ),
    // A package that is not accepted.
    ("package", "bulto"),
    ("no", "no"),
    ("not described", "no descrito"),
    ("say what it is packed in", "decir en qué está embalado"),
    (
        "the packer repacks it in what the limit names",
        "el embalador lo pasa a lo que nombra el límite",
    ),
    (
        "{}: a packaging with a UN mark, {} or better",
        "{}: un embalaje con marca ONU, {} o mejor",
    ),
    ("ask {}", "preguntar: {}"),
    ("packing instruction", "instrucción de embalaje"),
    ("none determined", "ninguna determinada"),
    (
        "settle the decision for the battery first: see its reasons",
        "resolver antes la decisión de la batería: ver sus motivos",
    ),
    (
        "does it meet the approval in every point; its reader decides",
        "cumple la aprobación en cada punto; decide quien la lea",
    ),
    (
        "what is the UN mark on the packaging",
        "cuál es la marca ONU del embalaje",
    ),
    (
        "copy the whole mark from the packaging",
        "copiar la marca entera del embalaje",
    ),
    (
        "S: tested for solids and inner packagings",
        "S: probado para sólidos y embalajes interiores",
    ),
    (
        "ask the maker for a mark with S; a test for liquids does not cover batteries",
        "pedir al fabricante una marca con S; una prueba para líquidos no cubre baterías",
    ),
    ("{} with the mark {}", "{} con la marca {}"),
    (
        "codes 50 and 51 are large packagings, all others are not",
        "los códigos 50 y 51 son grandes embalajes, los demás no",
    ),
    ("which of the two is right", "cuál de los dos es correcto"),
    ("packaging code", "código de embalaje"),
    ("packing group letter", "letra del grupo de embalaje"),
    ("{} or better", "{} o mejor"),
    (
        "the packer repacks it in a packaging tested for the higher group",
        "el embalador lo pasa a un embalaje probado para el grupo superior",
    ),
    (
        "a salvage packaging only for a package found damaged on the way",
        "un embalaje de socorro solo para un bulto hallado dañado en el camino",
    ),
    ("on which day is it packed", "qué día se embala"),
    (
        "manufacture of the plastics packaging",
        "fabricación del embalaje de plástico",
    ),
    (
        "in which month was it made: five years end this year",
        "en qué mes se fabricó: los cinco años acaban este año",
    ),
    (
        "on which day was it made: five years end this month",
        "en qué día se fabricó: los cinco años acaban este mes",
    ),
    ("{} years from manufacture", "{} años desde la fabricación"),
    (
        "the packer repacks it in a newer one",
        "el embalador lo pasa a uno más nuevo",
    ),
    ("how many batteries are in it", "cuántas baterías contiene"),
    (
        "the packer packs each battery in an outer packaging of its own",
        "el embalador pone cada batería en un embalaje exterior propio",
    ),
    (
        "what do the batteries in it weigh together",
        "cuánto pesan juntas las baterías que contiene",
    ),
    (
        "the packer packs fewer batteries, or takes another packaging",
        "el embalador pone menos baterías, o toma otro embalaje",
    ),
    (
        "what does the closed package weigh",
        "cuánto pesa el bulto cerrado",
    ),
    ("{} in the mark", "{} en la marca"),
    (
        "the packer takes a packaging with a higher mass in its mark",
        "el embalador toma un embalaje con más masa en su marca",
    ),
    (
        "the inner packaging is not leak-proof: is the outer",
        "el embalaje interior no es estanco: lo es el exterior",
    ),
    (
        "the packer puts that right and closes the package again",
        "el embalador lo corrige y cierra de nuevo el bulto",
    ),
    (
        "which verification report covers this package",
        "qué informe de verificación cubre este bulto",
    ),
    (
        "what is the number of the report",
        "cuál es el número del informe",
    ),
    (
        "which battery types does the report name",
        "qué tipos de batería nombra el informe",
    ),
    ("{} in the report", "{} en el informe"),
    (
        "the packer packs no more than the report covers",
        "el embalador no pone más de lo que cubre el informe",
    ),
    (
        "how many batteries does the report cover",
        "cuántas baterías cubre el informe",
    ),
    ("energy in the package", "energía en el bulto"),
    (
        "the packer takes a package verified for this energy",
        "el embalador toma un bulto verificado para esta energía",
    ),
    (
        "what rated energy in Wh does the nameplate state, and how many batteries are in it",
        "qué energía nominal en Wh indica la placa, y cuántas baterías contiene",
    ),
    (
        "what energy does the report cover",
        "qué energía cubre el informe",
    ),
    (
        "what state of charge does the report cover",
        "qué estado de carga cubre el informe",
    ),
    ("highest state of charge", "estado de carga más alto"),
    (
        "the packer takes a package verified for this state of charge",
        "el embalador toma un bulto verificado para este estado de carga",
    ),
    ("mark on the package", "marca en el bulto"),
    ("not on it", "no está"),
    ("{}, at least {} mm", "{}, al menos {} mm"),
    (
        "the packer puts it on before the package is handed over",
        "el embalador la pone antes de entregar el bulto",
    ),
    ("height of the mark {}", "altura de la marca {}"),
    (
        "the packer marks it again in larger letters",
        "el embalador marca otra vez con letras más grandes",
    ),
    ("labels on the package", "etiquetas en el bulto"),
    ("label {}", "etiqueta {}"),
    (
        "the packer puts the right label on",
        "el embalador pone la etiqueta correcta",
    ),
    // Figures that cannot be.
    ("more than 0 kg", "más de 0 kg"),
    (
        "weigh the battery, or read its nameplate again",
        "pesar la batería, o leer otra vez su placa",
    ),
    ("more than 0 Wh", "más de 0 Wh"),
    ("read the nameplate again", "leer otra vez la placa"),
    ("{} to {} %", "{} a {} %"),
    (
        "from 0 to 100 %, the lowest first",
        "de 0 a 100 %, primero el más bajo",
    ),
    (
        "look at the readings again: which of the two is right",
        "mirar otra vez las medidas: cuál de las dos es correcta",
    ),
    ("at least 1", "al menos 1"),
    (
        "count the batteries in the package",
        "contar las baterías del bulto",
    ),
    (
        "weigh what is in the package",
        "pesar lo que hay en el bulto",
    ),
    ("{}, with {} inside", "{}, con {} dentro"),
    (
        "no less than the batteries in it",
        "no menos que las baterías que contiene",
    ),
    (
        "weigh the package again: which of the two is right",
        "pesar otra vez el bulto: cuál de los dos es correcto",
    ),
    // What a packaging must be.
    (
        "each battery alone in an inner packaging",
        "cada batería sola en un embalaje interior",
    ),
    (
        "inner packaging encloses the battery fully",
        "el embalaje interior encierra la batería por completo",
    ),
    (
        "inner packaging is not of metal",
        "el embalaje interior no es de metal",
    ),
    (
        "inner or outer packaging is leak-proof",
        "el embalaje interior o el exterior es estanco",
    ),
    (
        "cushioning or insulation does not burn",
        "el relleno o el aislamiento no arde",
    ),
    (
        "cushioning or insulation does not conduct",
        "el relleno o el aislamiento no conduce",
    ),
    ("cushioning is absorbent", "el relleno es absorbente"),
    (
        "inert absorbent material for a leaking battery",
        "material absorbente inerte para una batería con fuga",
    ),
    (
        "thermal insulation around the inner packaging",
        "aislamiento térmico alrededor del embalaje interior",
    ),
    (
        "lining that does not conduct in a metal outer",
        "forro no conductor en un embalaje exterior de metal",
    ),
    (
        "protection against short circuit",
        "protección contra cortocircuito",
    ),
    ("secured against shifting", "sujeto para que no se mueva"),
    (
        "no weight of others on the battery terminals",
        "ningún peso de otros sobre los bornes",
    ),
    // A decision that is open.
    ("edition of the rules", "edición de las reglas"),
    (
        "none encoded for {} by {} on {}",
        "ninguna recogida para {}, {}, el {}",
    ),
    (
        "ask the compliance officer; this rule set does not answer for it",
        "preguntar al responsable de cumplimiento; este conjunto de reglas no responde de ello",
    ),
    ("may not travel so", "no puede viajar así"),
    ("transport category", "categoría de transporte"),
    ("rows of this rule set", "filas de este conjunto de reglas"),
    ("none decides this case", "ninguna decide este caso"),
    (
        "ask the compliance officer",
        "preguntar al responsable de cumplimiento",
    ),
    (
        "counts as undiagnosed, and so as damaged",
        "cuenta como no diagnosticable, y así como dañado",
    ),
    (
        "two rows disagree and neither names the other",
        "dos filas se contradicen y ninguna nombra a la otra",
    ),
    (
        "report it; ask the compliance officer meanwhile",
        "comunicarlo; entretanto preguntar al responsable de cumplimiento",
    ),
    (
        "how does it travel: road, rail, sea or aircraft",
        "cómo viaja: carretera, ferrocarril, mar o avión",
    ),
    (
        "is an approval of a competent authority in hand, and which",
        "hay una aprobación de una autoridad competente, y cuál",
    ),
    (
        "is the casing strong and impact-resistant, and can that be shown",
        "es la carcasa resistente y a prueba de golpes, y se puede mostrar",
    ),
    (
        "which chemistry does the nameplate or the maker state",
        "qué química indica la placa o el fabricante",
    ),
    (
        "does the battery travel alone, or with or in its equipment",
        "viaja la batería sola, con su equipo o dentro de él",
    ),
    (
        "what rated energy in Wh does the nameplate state",
        "qué energía nominal en Wh indica la placa",
    ),
    (
        "does the energy in Wh stand on the outside of the case",
        "está la energía en Wh en el exterior de la carcasa",
    ),
    (
        "does liquid or gas leave the battery",
        "sale líquido o gas de la batería",
    ),
    ("when was the battery made", "cuándo se fabricó la batería"),
    (
        "what does the battery weigh without packaging",
        "cuánto pesa la batería sin embalaje",
    ),
    ("on which day does it travel", "qué día viaja"),
    ("what is it packed in", "en qué está embalada"),
    (
        "what do the batteries in the package weigh together",
        "cuánto pesan juntas las baterías del bulto",
    ),
    (
        "what is the battery carried for",
        "para qué se transporta la batería",
    ),
    (
        "has the maker or an authority named this battery unsafe",
        "ha declarado el fabricante o una autoridad insegura esta batería",
    ),
    (
        "what did the inspection find: sound, suspect, undiagnosed, damaged or critical",
        "qué halló la inspección: sano, sospechoso, no diagnosticable, dañado o crítico",
    ),
    (
        "can it still be charged or give power",
        "aún se puede cargar o da corriente",
    ),
    (
        "is there a UN 38.3 test summary for this battery as it is offered",
        "hay un resumen de ensayos UN 38.3 de esta batería tal como se entrega",
    ),
    (
        "was it collected from private households",
        "se recogió en hogares",
    ),
    (
        "is the casing of a single cell breached",
        "está abierta la carcasa de alguna celda",
    ),
    (
        "what is the state of charge, lowest and highest",
        "cuál es el estado de carga, el más bajo y el más alto",
    ),
    (
        "does it stand on deck or under deck",
        "va en cubierta o bajo cubierta",
    ),
    (
        "is it a short international voyage",
        "es un viaje internacional corto",
    ),
    (
        "have the State of Origin and the State of the Operator approved it",
        "la han aprobado el Estado de origen y el Estado del explotador",
    ),
    (
        "has the State of Origin approved it",
        "la ha aprobado el Estado de origen",
    ),
    (
        "is a special permit in hand, and which",
        "hay un permiso especial, y cuál",
    ),
    (
        "which agreement of states is used",
        "qué acuerdo de Estados se usa",
    ),
    (
        "until when is each approval good",
        "hasta cuándo vale cada aprobación",
    ),
    (
        "does the battery mark show a telephone number",
        "muestra la marca de batería un número de teléfono",
    ),
    ("which relief is claimed", "qué exención se invoca"),
    // What the rules ask of a battery only because it is not sound.
    (
        "With a critical battery aboard there always travel the instructions in writing, a driver's certificate and photo, plates, two extinguishers and the vehicle's kit.",
        "Con una batería crítica a bordo viajan siempre las instrucciones escritas, el certificado y la fotografía del conductor, paneles, dos extintores y el equipo del vehículo.",
    ),
    (
        "Damaged and waste batteries stand on deck only, unless the voyage is a short international one.",
        "Las baterías dañadas y las que son residuo van solo en cubierta, salvo en un viaje internacional corto.",
    ),
    (
        "A damaged battery that may react dangerously on the way is in transport category 0: never on a small load, and the document says so.",
        "Una batería dañada que puede reaccionar peligrosamente en el camino es de la categoría de transporte 0: nunca como pequeña cantidad, y la carta de porte lo dice.",
    ),
    (
        "In the edition of 2023 a battery that may react dangerously was in transport category 0 by its special provision itself.",
        "En la edición de 2023 una batería que puede reaccionar peligrosamente era de la categoría de transporte 0 por su propia disposición especial.",
    ),
    (
        "A battery that is not plainly sound travels apart from sound ones and is watched on receipt.",
        "Una batería que no está claramente sana viaja apartada de las sanas y se vigila a la recepción.",
    ),
    (
        "The record says who assessed the battery, by which criteria, what was found, when, and at what state of charge.",
        "El registro dice quién evaluó la batería, con qué criterios, qué se halló, cuándo y con qué estado de carga.",
    ),
    (
        "A critical battery travels only in a package verified for its type, number, energy and state of charge; the report is at hand.",
        "Una batería crítica viaja solo en un bulto verificado para su tipo, número, energía y estado de carga; el informe está a mano.",
    ),
    (
        "Before it travels as damaged but not critical, the maker's criteria or a technical expert have ruled out a dangerous reaction, in writing; otherwise it is critical.",
        "Antes de que viaje como dañada pero no crítica, los criterios del fabricante o un experto técnico han excluido por escrito una reacción peligrosa; si no, es crítica.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels as damaged, whatever it is carried for.",
        "Una batería hallada dañada o defectuosa, retirada por seguridad o no diagnosticable viaja como dañada, sea cual sea la finalidad.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material.",
        "Alrededor de una batería con fuga hay suficiente material absorbente inerte.",
    ),
    (
        "A battery that may react dangerously stays where it is while it heats, smokes or vents; it leaves only when the officer has released it in writing.",
        "Una batería que puede reaccionar peligrosamente se queda donde está mientras se calienta, humea o ventea; sale solo cuando el responsable de cumplimiento la ha liberado por escrito.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels one to a packaging for packing group I, whatever it is carried for.",
        "Una batería hallada dañada o defectuosa, retirada por seguridad o no diagnosticable viaja sola en un embalaje del grupo de embalaje I, sea cual sea la finalidad.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material, and nothing leaves the package.",
        "Alrededor de una batería con fuga hay suficiente material absorbente inerte, y nada sale del bulto.",
    ),
    (
        "Damaged and waste batteries are stowed as category C, on deck, unless the voyage is a short international one.",
        "Las baterías dañadas y las que son residuo se estiban en categoría C, en cubierta, salvo en un viaje internacional corto.",
    ),
    // How the statement of a load is known.
    (
        "unannounced: nothing was stated",
        "sin anunciar: no se declaró nada",
    ),
    (
        "entry {} of a log of {} entries, {}",
        "entrada {} de un registro de {} entradas, {}",
    ),
    (
        "signed with the public demo key, which proves nothing",
        "firmado con la clave pública de demostración, que no prueba nada",
    ),
    (
        "signed by {}, trusted here",
        "firmado por {}, de confianza aquí",
    ),
    (
        "signed by a key that is not trusted here; ask the giver for it some other way than with the load (log {})",
        "firmado con una clave que aquí no es de confianza; pedirla a quien entrega por otra vía que con la carga (registro {})",
    ),
    ("NOT SIGNED", "SIN FIRMAR"),
    (
        "the sender's own table, columns confirmed here: not proved",
        "la tabla propia del remitente, columnas confirmadas aquí: no probado",
    ),
    (
        "stated by the sender, without a log: not proved",
        "declarado por el remitente, sin registro: no probado",
    ),
];
