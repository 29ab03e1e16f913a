//! The words of papers in German. Marks, statements, declarations, sentences of rules and of
//! procedures stay in the language that they are kept in, and each paper says so.

use super::de_reasons::REASONS;
use super::form::{
    CautionWords, DischargeWords, MaterialsWords, MethodWords, PackageWords, StateWords, Words,
};
use super::form_site::{FireWords, HoldWords, ReceiptWords};
use super::terms::Terms;

/// German.
pub(crate) const DE: Words = Words {
    language: "de",
    english_name: "German",
    other_language: "Sätze aus Regeln, Verfahren und Aufzeichnungen stehen in deren Sprache (Englisch)",
    packing_manifest: "Packliste",
    transport_document: "Beförderungspapier",
    labels: "Gefahrzettel und Kennzeichen",
    package_label: "Versandstückzettel",
    method_statement: "Arbeitsanweisung",
    inspection_sheet: "Prüfblatt",
    cautions_sheet: "Hinweise für Fahrer und Empfänger",
    page: "Seite",
    of: "von",
    issue: "Ausgabe",
    issue_in_text: "Ausgabe",
    batteries_in_text: "Batterien",
    net_mass_in_text: "Nettomasse",
    gross_mass_in_text: "Bruttomasse",
    void: "UNGÜLTIG",
    supersedes: "eine spätere Ausgabe dieses Papiers ersetzt sie",
    rule_set: "Regelstand",
    ledger: "Protokoll",
    entries: "Einträge",
    root: "Wurzel",
    demo: "Schauschlüssel: beweist nichts",
    from: "Von",
    to: "An",
    site: "Ort",
    job: "Auftrag",
    carrier: "Beförderer",
    planned: "Geplant",
    rules: "Regeln",
    issued: "Erstellt",
    purpose: "Zweck",
    consignor: "Absender",
    consignee: "Empfänger",
    emergency_contact: "KONTAKT IM NOTFALL",
    no_telephone: "keine Telefonnummer im Plan",
    leg: "Abschnitt",
    day: "Tag",
    package_module: "Versandstück, Modul",
    package: "Versandstück",
    packages: "Versandstücke",
    modules: "Module",
    one_module: "Modul",
    module: "Modul",
    model: "Typ",
    energy: "Energie",
    net_mass: "Nettomasse",
    gross_mass: "Bruttomasse",
    soundness: "Zustand",
    state_of_charge: "Ladezustand",
    identity_unproved: "Seriennummer nicht gelesen",
    layer: "Lage {layer}",
    total: "Summe",
    count: "Zählung",
    seal: "Plombe",
    how_packages_travel: "Wie die Versandstücke befördert werden",
    marks: "Kennzeichen",
    marks_labels_document: "Kennzeichen, Gefahrzettel, Beförderungspapier",
    labels_on: "Gefahrzettel",
    left_behind: "Am Ort geblieben",
    count_differs: "Die Zählung geht nicht auf",
    square_code: "Code von Auftrag, Ausgabe und Protokoll",
    caution: "Vorsicht",
    still_open: "Noch offen",
    unverified: "Beruht auf ungeprüften Angaben",
    technician: "Fachkraft",
    person_in_charge: "Verantwortliche Person",
    signature_date_time: "Unterschrift, Datum, Uhrzeit",
    name_signature_date_time: "Name, Unterschrift, Datum, Uhrzeit",
    carrier_seals: "Beförderer, Plomben unversehrt",
    consignee_seals: "Empfänger, Plomben unversehrt",
    identity_note: "Die Zuordnung bleibt bis zum einzelnen Modul erhalten, bis der Empfänger das Versandstück öffnet.",
    dangerous_goods: "Gefährliche Güter",
    number_and_kind: "Anzahl und Art der Versandstücke",
    batteries: "Batterien",
    small_load: "Als Kleinmenge befördert (1.1.3.6)",
    points: "Punkte",
    category: "Beförderungskategorie",
    factor: "Faktor",
    declaration: "Erklärung",
    travels_with: "Zu diesem Papier gehört",
    what_is_in_each: "Was in jedem Versandstück ist",
    quantity_note: "Menge ist die Masse der Batterien ohne Verpackung.",
    kinds: "Art",
    serials: "Seriennummern",
    measure: "Diese Linie muss 100 mm lang sein. In 100 % drucken, nicht „an Seite anpassen“. Ist sie nicht 100 mm lang, das Blatt nicht verwenden.",
    measure_title: "100 mm",
    upright: "Aufrecht gedruckt, weil das Blatt schmaler als 141,4 mm ist. Entlang der äußeren Linie ausschneiden und auf die Spitze gestellt aufkleben, Streifen oben.",
    needs_colour: "Ein Schwarzdrucker macht diesen Zettel nicht: er braucht seine eigenen Farben. Einen gekauften nehmen.",
    cargo_aircraft_note: "Schwarz auf Orange; Größe und Buchstaben nach 49 CFR 172.407(c)(2) aus zweiter Hand, das Bild ist unseres: mit der Abbildung der Vorschrift vergleichen.",
    arrows_note: "Ausrichtungspfeile, im Plan verlangt; keine Vorschrift verlangt sie für Batterien. Auf zwei gegenüberliegenden Seiten, Pfeile nach oben.",
    does_not_fit: "Passt nicht auf dieses Blatt",
    letters: "Buchstaben",
    or_more: "mm oder höher",
    put_on: "für Versandstück",
    label_sheet: "Gefahrzettel",
    mass: "Masse",
    not_weighed: "nicht gewogen",
    not_known: "nicht bekannt",
    taken_as_full: "nicht bekannt, gilt als voll",
    of_present_capacity: "der jetzigen Kapazität",
    not_sealed: "ohne Plombe",
    live_terminals: "Die Pole bleiben unter Spannung. Nicht öffnen, stapeln oder kippen.",
    step: "Schritt",
    steps: "Schritte in ihrer Reihenfolge",
    steps_red_flag: "Nur wenn etwas schiefgeht: sofort, gleich welcher Schritt offen ist",
    who: "Wer",
    hazard: "Gefahr",
    asked: "Gefragt",
    if_not: "Sonst",
    done: "Getan",
    cautions_first: "Zuerst die Hinweise",
    voltage: "Spannung",
    wait: "Warten auf gespeicherte Energie",
    wait_floor: "eine Untergrenze, nie ein Beweis",
    not_in_date: "NICHT GÜLTIG am geplanten Tag; vor dem Einsatz austauschen",
    people: "Personen",
    instruments: "Messgeräte, Handschuhe, Hilfsmittel",
    tools: "Werkzeug, das die Schritte verlangen",
    protective: "Schutzausrüstung",
    lifts: "Vorgesehene Hebevorgänge (überarbeitete NIOSH-Gleichung, Haltung angenommen: Hände 40 cm vor dem Körper, keine Griffe)",
    lifting_index: "Hebeindex allein",
    bring: "Mitbringen",
    own_numbers: "Eigene Zahlen dieses Projekts, kein Recht, jede mit dem, der dafür einsteht",
    plan_not_permit: "Ein Plan, keine Erlaubnis. Anleitung des Herstellers, örtliche Vorschriften und die Regeln der Elektrofachkraft gehen vor.",
    each_module: "je Modul",
    procedure: "Verfahren",
    reading: "Messung",
    value: "Wert",
    time: "Uhrzeit",
    temperature_trend: "Temperatur der heißesten Fläche",
    temperature_axis: "\u{b0}C",
    minutes_axis: "Minuten seit der ersten Messung",
    face: "Fläche",
    air: "Luft",
    charge_curve: "Ladezustand auf der Ruhekurve",
    charge_axis: "Ladezustand, %",
    cell_axis: "V je Zelle",
    one_reading: "eine Messung: kein Verlauf",
    no_reading: "keine Messung",
    no_curve: "keine Kurve dieser Zellchemie vorhanden",
    findings: "Befunde",
    judged: "Beurteilt von",
    for_driver: "Für den Fahrer",
    for_receiver: "Für den Empfänger",
    if_it_goes_wrong: "Wenn mit einem Versandstück etwas nicht stimmt",
    on_board: "Was geladen ist",
    short_circuit: "Kurzschluss und Lichtbogen",
    charge_asked: "Ladezustand, den der Weg verlangt",
    lifting_index_of_teams: "zu zweit, zu dritt",
    seal_title: "Plombe",
    position: "Platz in der Reihenfolge des Ausbaus",
    criteria: "Kriterien",
    covers: "Polabdeckungen",
    lifted: "Gehoben",
    photographs: "Fotos",
    hottest_face: "Heißeste Fläche",
    air_title: "Luft",
    terminal_voltage: "Zwischen den Polen",
    positive_to_case: "Plus gegen Gehäuse",
    negative_to_case: "Minus gegen Gehäuse",
    insulation: "Isolation",
    lowest_cell: "Niedrigste Zelle",
    highest_cell: "Höchste Zelle",
    none: "keine",
    facts: "Angaben",
    what_to_do: "Was zu tun ist",
    cautions_limits: "Eigene Worte, kein Recht: örtliche Vorschriften, die Anleitung des Herstellers und die Feuerwehr gehen vor. Eine benannte sachkundige Person entscheidet.",
    gross: "brutto",
    net: "netto",
    for_purpose: "zum Zweck:",
    not_named: "nicht genannt",
    not_planned: "nicht geplant",
    not_issued: "nicht ausgestellt",
    model_not_known: "Typ nicht bekannt",
    full: "gilt als voll",
    count_planned: "geplant",
    count_removed: "ausgebaut",
    count_left: "am Ort geblieben",
    approval_authority: "Genehmigung der zuständigen Behörde",
    agreement: "multilaterale Vereinbarung",
    special_permit: "Sondergenehmigung",
    approval_origin: "Genehmigung des Ursprungsstaats",
    approval_operator: "Genehmigung des Staats des Luftfahrtunternehmens",
    good_until: "gültig bis",
    air_form: "Luftfrachtführer nehmen die Versendererklärung auf dem Vordruck ihrer eigenen Regeln; dies sind die Angaben dafür.",
    materials_paper: "Stoffe für das Recycling",
    materials_total: "Alle Module zusammen",
    materials_each: "Jedes Modul, Kilogramm",
    material: "Stoff",
    least_kg: "mindestens kg",
    most_kg: "höchstens kg",
    found_from: "ermittelt aus",
    materials_not_known: "Was nicht bekannt ist",
    recycling_duties: "Für den Recyclingbetrieb in der Europäischen Union: (EU) 2025/606 und die Ziele von (EU) 2023/1542, Anhang XII",
    target: "Ziel",
    least_percent: "mindestens %",
    to_be_met_by: "zu erreichen bis",
    how_known: "woher bekannt",
    planned_mass: "geplant",
    modules_handed_on: "Weitergegebene Module",
    mass_of: "Masse von",
    energy_inside: "Energie, die darin sein kann",
    curves_used: "Verwendete Kurven",
    charge_remarks: "Zur Ladung",
    discharge_record: "Entladeprotokoll",
    when_to_stop: "Wann aufhören",
    when_never: "Wann nie",
    do_not_discharge: "NICHT ENTLADEN",
    no_discharge_plan: "kein Entladeplan",
    only_to_be_read: "es fehlt nur eine Messung",
    limit_of_route: "Grenze, die der Weg verlangt:",
    discharge_is_no_permit: "ein Plan und ein Vordruck für das Protokoll, keine Erlaubnis.",
    load_and_instruments: "Last und Messgeräte",
    readings_each: "Messungen am Anfang, am Ende und alle",
    after_the_rest: "Nach der Ruhe",
    minutes: "Minute",
    foreseen_v: "erwartet V",
    lowest_cell_v: "niedrigste Zelle V",
    face_c: "Fläche \u{b0}C",
    air_c: "Luft \u{b0}C",
    cautions: CAUTIONS,
    wording_of_method: METHOD,
    wording_of_discharge: DISCHARGE,
    wording_of_materials: MATERIALS,
    kinds_of_packages: PACKAGES,
    states: STATES,
    receipt: RECEIPT,
    fire: FIRE,
    hold: HOLD,
    terms: TERMS,
    reasons: REASONS,
    finding_words: FINDINGS,
};

const CAUTIONS: CautionWords = CautionWords {
    manifest: &[
        "Die Pole der Batterien bleiben unter Spannung. Jede Abdeckung lassen, wo sie ist; kein \
         Versandstück öffnen, stapeln oder kippen.",
        "Hitze, Rauch, Zischen oder Geruch: weggehen, andere fernhalten, Feuerwehr rufen.",
        "Dieses Papier schlägt vor; eine benannte sachkundige Person entscheidet. Örtliche Vorschriften \
         und die Regeln der Elektrofachkraft gehen vor.",
    ],
    driver: &[
        "Versandstücke vor der Übernahme nach der Packliste zählen, Plomben vergleichen.",
        "Jedes ansehen: trocken, geschlossen, aufrecht, Kennzeichen und Gefahrzettel lesbar. Die Hand \
         in die Nähe halten: nicht warm. Was eingedrückt, nass oder warm ist oder riecht, bleibt da; \
         dem Absender sagen.",
        "Versandstücke so festzurren, dass keines rutschen, kippen oder fallen kann und nichts Schweres \
         darauf steht. Aufrecht lassen.",
        "Kein Versandstück öffnen. Die Batterien darin lassen sich nicht abschalten: ihre Pole bleiben \
         unter Spannung, solange es sie gibt.",
        "Nicht rauchen, keine offene Flamme, keine Heizung bei der Ladung. Nicht in praller Sonne \
         stehen lassen.",
        "Die Papiere in der Kabine so aufbewahren, dass Sie und die Feuerwehr sie erreichen.",
        "Bei langem Halt im Freien parken, fern von Häusern und anderen Fahrzeugen.",
    ],
    receiver: &[
        "Vor dem Abladen: nach der Packliste zählen, Plomben vergleichen, auf Beulen, nasse Stellen, \
         Wärme und Geruch achten. Jede Abweichung vor der Unterschrift auf das Exemplar des \
         Beförderers schreiben.",
        "Zwei Personen oder ein Hebezeug: die Masse steht auf jedem Versandstück.",
        "Versandstücke aufrecht auf trockenen Boden stellen, getrennt von anderen Gütern und von allem, \
         was brennt, nie in einen Fluchtweg.",
        "Was als beschädigt, verdächtig oder kritisch gekennzeichnet ist, kommt sofort an einen eigenen \
         Platz, fern von den unversehrten, und wird beobachtet. Niemand gibt es allein frei.",
        "Nichts anschließen, laden, fallen lassen, stapeln oder öffnen. Öffnen ist Arbeit einer \
         benannten sachkundigen Person mit dem Prüfblatt in der Hand.",
        "Der Ladezustand auf dem Zettel ist, was beim Verschließen bekannt war; er ist kein Versprechen.",
        "Mit Name, Datum und Uhrzeit unterschreiben und die Papiere aufbewahren.",
    ],
    wrong: &[
        "Zeichen: Rauch oder weißer Nebel, Zischen, Knallen, süßlicher oder stechender Geruch, Wölbung, \
         Hitze, die man ohne Berühren spürt.",
        "Anhalten, wo niemand wohnt und nichts brennt, Motor aus, Schlüssel mitnehmen. Alle weg, \
         gegen den Wind, hinaus aus geschlossenen Räumen.",
        "Feuerwehr rufen und sagen: Lithium-Ionen-Batterien, wie viele, und die UN-Nummer vom Zettel. \
         Dann den Kontakt im Notfall auf den Papieren anrufen.",
        "Nicht zurückgehen, nichts anfassen, den Kopf nicht in den Laderaum stecken. Der Rauch ist \
         giftig und kann explodieren.",
        "Ein kleines Feuer, das nicht die Batterien ist, ein Reifen oder ein Kabel, darf mit dem \
         Feuerlöscher gelöscht werden. Brennende Batterien sind Sache der Feuerwehr.",
        "Es kann Stunden oder Tage später wieder anfangen. Wer es übernimmt, muss das erfahren.",
        "Ein Versandstück, das gefallen oder gequetscht ist, aber kein Zeichen zeigt: getrennt halten, \
         möglichst im Freien, beobachten und den Absender anrufen, bevor es weitergeht.",
    ],
};

const METHOD: MethodWords = MethodWords {
    heading: "{installation}, {site}, {address}, am {day}; {count} Module zum Zweck: {purpose}",
    volts: "höchstens {volts} V Gleichspannung: {what}",
    above_split: "über der Trenngrenze: nur die nächste Trennstelle darf geöffnet werden (NEC 2020, 480.7(C))",
    live_work: "jede Verbindung unter Spannung braucht eine Freigabe für Arbeiten unter Spannung; \
                geprüfte Handschuhe, zweite Person",
    gloves: "geprüfte Handschuhe und eine zweite Person bei jedem Berühren",
    no_shock: "keine Grenze für den elektrischen Schlag; Verbrennung und Lichtbogen bleiben möglich: \
               isoliertes Werkzeug, ein Pol nach dem anderen",
    no_figure: "keine Zahl: {why}",
    short_circuit: "ein Modul: etwa {module} A, die ganze Batterie: etwa {pack} A, mit {mohm} mOhm je \
                    Modul (angenommen) und ohne Sicherung gerechnet; die Angabe des Herstellers geht vor",
    arc: "Lichtbogen der ganzen Batterie, 2 s, in 45,7 cm: bis {energy} cal/cm2; 1,2 cal/cm2 in \
          {boundary} cm (NFPA 70E Anhang D.5.1, aus dem Gedächtnis; 100 bis 1000 V Gleichspannung; \
          eine Obergrenze, kein Versuch); Handschuhe Klasse {class}, Spannungsprüfer für {volts} V \
          Gleichspannung oder mehr",
    no_arc: "Lichtbogen der ganzen Batterie: keine Zahl; {why}",
    above_all_classes: "über allen Klassen",
    by_air: "ein Abschnitt in der Luft verlangt {limit} % oder weniger von jedem Modul; ohne Beweis \
             fliegt es nicht",
    rested_cell: "nach 24 h Ruhe bei 25 °C beweist es die höchste Zelle mit {usual} V oder weniger, auf \
                  5 mV abgelesen, mit {fine} V auf 2 mV",
    makers_table: "die Tabelle des Herstellers entscheidet; `packdown show` nennt die Spannung jedes Moduls",
    no_rested_cell: "keine Ruhespannung beweist es bei dieser Zellchemie ohne die Tabelle des Herstellers",
    full_module: "ein volles Modul braucht etwa {hours} h {minutes} min bei {current} A (0,2 seiner \
                  Kapazität, hier gewählt) bis {target} %, {energy} Wh Wärme in der Last, dann wieder \
                  die Ruhe; Protokollblatt und wann nie: `packdown issue JOB --draft --paper discharge`",
    with_load: "mit {load} ({draws}): etwa {hours} h {minutes} min, höchstens {watts} W und {current} A",
    not_with_load: "nicht mit der Last des Plans: {reason}",
    other_proof: "sonst der Wert des Batteriemanagements mit seiner Genauigkeit, oder Ladung, von einem \
                  bekannten Punkt an gezählt",
    person_until: "{role} bis {day} ({covers})",
    ended_on: "{name}: {role} endete am {day}",
    two_if_heavy: "2 über 23 kg",
    not_applicable: "nicht anwendbar",
    out_of_reach: "außer Reichweite",
    weigh_it: "wiegen oder nachschlagen; bis dahin zwei Personen und ein Hebezeug",
    aid_and_look: "ein Hebezeug, und die verantwortliche Person sieht sich den Ort zuerst an ({why})",
    aid_nobody: "ein Hebezeug; dort hebt niemand von Hand",
    one_person: "eine Person",
    aid_or_people: "ein Hebezeug oder {people} Personen; Treppen und Tragen brauchen einen zweiten Blick",
    aid_or_split: "ein Hebezeug, oder die Last teilen: über 3 für jede Zahl von Personen",
    aid: "ein Hebezeug; über 1 für jede Zahl von Personen",
};

const DISCHARGE: DischargeWords = DischargeWords {
    first: &[
        "Eine benannte sachkundige Person entscheidet, ob überhaupt entladen wird, und unterschreibt \
         unten. Anleitung des Herstellers, örtliche Vorschriften und die Regeln der Elektrofachkraft \
         gehen diesem Blatt vor.",
        "Niemand schließt die Last an, der nicht für Arbeiten unter Spannung an Batterien befähigt ist: \
         die Pole lassen sich nicht abschalten. Isoliertes Werkzeug, Augenschutz, kein Metall am \
         Körper, eine Sicherung am ersten Pol.",
        "Im Freien oder in einem Brandabschnitt, nichts Brennbares in Reichweite der Last: alle Energie \
         wird darin zu Wärme. Die ganze Zeit bleibt eine Person im Raum, mit einem Weg hinaus.",
        "Modul und Raum zwischen 10 und 35 °C; nie unter 5 °C. Ein Modul auf einmal, keine Reihen: die \
         niedrigste Zelle einer Reihe wird zuerst heruntergezogen.",
    ],
    stop: &[
        "Rauch, Zischen, Geruch, Wölbung: weggehen, Feuerwehr rufen, die Last nicht berühren.",
        "Eine Fläche mit 45 °C, oder 10 K über dem Anfang, oder 5 K über dem Rest des Moduls: Last ab, \
         fernbleiben, beobachten.",
        "Ein Strom über der Zahl unten, eine Spannung, die schneller fällt als erwartet, eine Zelle, die \
         sich nicht mehr messen lässt: Last ab.",
        "Das genannte Ende ist erreicht. Nie weiter: unter ihrer kleinsten Spannung wird eine Zelle innen \
         verdorben, und eine, die darunter war, wird nie wieder geladen.",
    ],
    never: "Nie, wo etwas davon gefunden wurde: Gas oder Geruch, Leck, Abblasen, Schwellung, \
            Verformung, ein durchstochenes oder gequetschtes Gehäuse, früheres Feuer oder Hitze, Wasser, \
            eine Zelle außerhalb ihrer Grenzen, verkehrte oder fehlende Spannung, Isolation unter \
            100 Ohm/V, ein innerer Fehler, den das Batteriemanagement meldet; nie ein Modul, das im \
            Sinne des Rechts beschädigt ist, über 45 °C oder unter 5 °C, und keines mit Zellen, die \
            mehr als 100 mV auseinander liegen, außer es wird jede Zelle beobachtet.",
    serial_not_read: " (Seriennummer nicht gelesen)",
    from_the_most: "Von dem, was es höchstens enthalten kann, bis {target} % seiner Kapazität: {energy} Wh \
                    in die Last.",
    current: "Konstantstrom von höchstens {current} A (0,2 der Nennkapazität, hier gewählt; der Dauerstrom \
              des Herstellers geht vor): etwa {time}.",
    resistor: "Oder ein Widerstand von {ohm} Ohm oder mehr, für {watts} W oder mehr: etwa {time}. Er wird \
               heiß genug, um zu verbrennen und anzuzünden.",
    warms: "Das Modul erwärmt sich von selbst um etwa {rise} K. Kleinste Zelle unter Last: {cell} V (aus \
            dem Gedächtnis, ungeprüft; die Zahl des Herstellers geht vor).",
    every_cell: "Seine Zellen liegen mehr als 100 mV auseinander: nur mit jeder Zelle die ganze Zeit im Blick.",
    crew_load: "Mit der Last der Mannschaft, {load} ({draws}, verträgt {bears} W): etwa {time}, {energy} Wh; \
                {first_v} V, {first_a} A, {first_w} W am Anfang und {last_v} V, {last_a} A, {last_w} W am \
                Ende. Die Tabelle unten gilt für sie.",
    not_crew_load: "NICHT mit der Last der Mannschaft: {reason}",
    ends_early: "Eine Zelle erreicht bei diesem Strom ihre kleinste Spannung vor dem Ziel: weniger nehmen.",
    to_write: [
        ["Last (Ohm, A oder W)", "wer"],
        ["Messgerät, Thermometer", "Ah-Zähler"],
        ["begonnen um", "beendet um"],
        ["Ah und Wh am Ende", "warum beendet"],
    ],
    at_the_end: "am Ende",
    after_the_rest: "nach der Ruhe",
    rest_lfp: "24 h ohne Last, oder nach 1 h zwei Messungen im Abstand von 30 min, die weniger als 1 mV \
               je Zelle auseinander liegen",
    rest_others: "3 h ohne Last",
    let_it_rest: "Ruhen lassen: {rest} (Relaxation: doi 10.3390/batteries11050186, Zusammenfassung). \
                  Inzwischen nichts anschließen, dann Zellen und Oberfläche messen.",
    rested_cell: "Höchste ruhende Zelle bei {volts} V oder weniger, auf 5 mV abgelesen bei 25 °C: {limit} % \
                  sind bewiesen. Als Messung eintragen; das Programm entscheidet mit dem Fehler des \
                  Messgeräts.",
    no_rested_cell: "Keine Ruhespannung beweist es bei diesen Zellen ohne die Tabelle des Herstellers: die \
                     Ladung zählen.",
    counting: "Oder durch Zählen: ein Zähler von +-1 % und 0,05 A, der {charge} Ah oder mehr zeigt, beweist \
               es, vom Höchsten aus, was das Modul enthalten haben kann.",
    not_proven: "Nicht bewiesen ist eine Antwort: dann fliegt es nicht. Nicht weiter entladen als genannt.",
    hours: "{hours} h {minutes} min",
};

const MATERIALS: MaterialsWords = MaterialsWords {
    lto: "Lithium-Ionen mit Lithiumtitanat (LTO)",
    lfp: "Lithium-Ionen, Lithiumeisenphosphat (LFP)",
    nmc: "Lithium-Ionen, Nickel-Mangan-Cobalt-Oxid (NMC), Verhältnis nicht bekannt",
    nca: "Lithium-Ionen, Nickel-Cobalt-Aluminium-Oxid (NCA)",
    lco: "Lithium-Ionen, Lithiumcobaltoxid (LCO)",
    lmo: "Lithium-Ionen, Lithiummanganoxid (LMO)",
    electrode_not_known: "Lithium-Ionen, Elektrode nicht bekannt",
    sodium: "Natrium-Ionen",
    no_table: "keine, für die dieses Programm eine Tabelle hat",
    ranges: "Jede Zahl ist ein Bereich, nie eine Messung: die wahre Menge einer Zelle wie der tabellierten \
             liegt darin; die Angabe des Herstellers oder ein Batteriepass geht vor.",
    from_energy: "Aus der Nennenergie: Kilogramm je kWh Zellen, von niedriger bis hoher Energiedichte \
                  (Inventare von Dai u. a. 2019, doi 10.3390/batteries5020048, und Crenna u. a. 2021, \
                  doi 10.1016/j.resconrec.2021.105619, in offenen Dateien; gelesen). Nur Zellen: kein \
                  Gehäuse, keine Platine.",
    from_mass: "Aus der Masse: Anteile eines Heimspeichermoduls mit 63 % Zellen, 34 % Stahl und 3 % Platine \
                (Jasper u. a., in einer offenen Datei; gelesen), 10 % nach jeder Seite. Wo beide Wege \
                etwas sagen, umfasst der Bereich beide.",
    mass_says_nothing: "Die Masse ergibt hier nichts: das Inventar nach Masse ist von Heimspeichermodulen.",
    duties: &[
        "Der Input zählt ohne Wasser, mit Gehäuse, Kabeln, die Teil der Batterie sind, Bildschirmen und \
         Platinen und mit Teilen, die bei der Vorbereitung abgenommen wurden, auch wenn sie anderswo \
         verwertet werden (Anhang, 1(2)).",
        "Schwarzmasse ist ein Zwischenerzeugnis und nie ein Output (Anhang, 1(5)).",
        "Der erste Recyclingbetrieb ist, wer an Modulen oder Zellen beginnt. Wer nur sammelt, lagert, \
         umschlägt oder zerlegt, ist es nicht, gibt ihm aber diese Angaben (Anhang, 1(7) und 5(3)).",
        "Bis zum 31. Dezember 2029 dürfen Sauerstoff, Kohlenstoff und Eisen der Zelle, Phosphor, Chlor und \
         Schwefel auf beiden Seiten gezählt werden; ab 1. Januar 2030 müssen Kohlenstoff, Eisen und \
         Phosphor gezählt werden (Anhang, 2(5) und 2(6)).",
        "Quoten werden je Jahr gemeldet: Effizienz = Output / Input x 100, Verwertung eines Stoffs = sein \
         Output / sein Input x 100 (Anhang, 2(1) und 3(1)).",
    ],
    serial_not_read: "die Seriennummer wurde nicht am Modul gelesen",
    no_mass: "weder gewogen noch mit einer Masse geplant; nicht in der Gesamtmasse",
    not_weighed: "in diesem Auftrag nicht gewogen; die Masse ist die des Plans",
    no_composition: "keine Nennenergie (und keine Masse, zu der eine Tabelle passt): keine \
                     Zusammensetzung; nicht in der Summe",
    leaked: "ausgelaufen oder verbrannt: Lösungsmittel und Salz können teils fort sein, die Bereiche \
             rechnen das nicht",
    ask_the_maker: "Die Zusammensetzung: für diese Zellen gibt es keine Tabelle. Den Hersteller fragen; bis \
                    dahin gelten nur die Massen.",
    ratio: "Das Verhältnis von Nickel, Mangan und Cobalt: die Bereiche umfassen 1:1:1 bis 8:1:1. Das \
            Typenschild oder der Hersteller sagt, welches.",
    never_known: &[
        "Nichts wurde analysiert: die Zellchemie ist, was der Plan vom Typenschild sagt. Die Dichten sind \
         die von Fahrzeugzellen von 2020; Fluor des Binders ist nicht gezählt; Kupfer und Aluminium der \
         Folien sind je Hersteller verschieden.",
        "Steuergerät, Wechselrichter, Gestell, Halter und äußere Kabel sind nicht in diesen Zahlen; \
         Verpackung auch nicht.",
        "Wie viel der Recyclingbetrieb herausholt: das misst er selbst.",
    ],
    range: "{low} bis {high}",
};

const PACKAGES: PackageWords = PackageWords {
    counted: "{count} {kind} aus {material} ({code})",
    drum: ["Fass", "Fässer"],
    jerrican: ["Kanister", "Kanister"],
    package_box: ["Kiste", "Kisten"],
    large: ["Großverpackung", "Großverpackungen"],
    flexible_large: ["flexible Großverpackung", "flexible Großverpackungen"],
    open_crate: ["Verschlag", "Verschläge"],
    pallet: ["Palette", "Paletten"],
    enclosure: ["Schutzeinrichtung", "Schutzeinrichtungen"],
    strong_outer: ["starke Außenverpackung", "starke Außenverpackungen"],
    other: ["Verpackung", "Verpackungen"],
    materials: [
        ("A", "Stahl"),
        ("B", "Aluminium"),
        ("C", "Naturholz"),
        ("D", "Sperrholz"),
        ("F", "Holzfaserwerkstoff"),
        ("G", "Pappe"),
        ("H", "Kunststoff"),
        ("M", "Papier"),
        ("N", "Metall"),
    ],
};

const STATES: StateWords = StateWords {
    allowed: "erlaubt",
    allowed_with: "erlaubt mit Auflagen",
    forbidden: "verboten",
    not_determined: "nicht bestimmt",
    package_accepted: "Verpackung angenommen",
    package_refused: "VERPACKUNG ABGELEHNT",
    package_open: "Verpackung nicht bestimmt",
    missing: "es fehlt: {facts}",
    limit: "Grenze",
    or: "oder",
    planned_is_not: "geplant {planned} ist nicht ausgebaut {removed} + am Ort geblieben {left}",
    removed_is_not: "ausgebaut {removed}, aber {listed} in Versandstücken aufgeführt",
    left_is_not: "am Ort geblieben {left}, aber {listed} mit einem Grund aufgeführt",
    not_entered: "nicht eingetragen",
    letters_at_least: "{text} (Buchstaben {height} mm oder höher)",
    no_serial: "Identität nicht bewiesen, keine Seriennummer lesbar",
    draft: "ENTWURF - NICHT ZUR BEFÖRDERUNG",
    void: "UNGÜLTIG - NICHT VERWENDEN",
    soundness: [
        "unversehrt",
        "verdächtig",
        "nicht beurteilbar",
        "beschädigt",
        "kritisch",
    ],
    purposes: [
        "Beseitigung",
        "Prototyp zur Prüfung",
        "Recycling",
        "Wiederverwendung",
        "Rückgabe aus Sicherheitsgründen",
        "Sortierung",
        "Verwendung",
        "Rückgabe unter Gewährleistung",
    ],
    modes: [
        "Frachtflugzeug",
        "Passagierflugzeug",
        "Schiene",
        "Straße",
        "See",
    ],
};

const RECEIPT: ReceiptWords = ReceiptWords {
    title: "Empfangsschein",
    heading: "Empfang {receipt}, {site}, {address}: {load}",
    open: "NICHT ABGESCHLOSSEN: es wird noch erfasst; dies ist noch kein Empfangsschein",
    open_mark: "OFFEN - KEIN EMPFANGSSCHEIN",
    refused: "ABGELEHNT: {why}",
    counted: "{here} Module sind da von {stated} angegebenen; {packages} Versandstücke angegeben",
    unannounced: "{here} Module sind da; die Ladung kam ohne Liste",
    begun: "Begonnen {at} von {by}",
    ended: "Beendet {at} von {by}",
    brought_by: "Gebracht von {by}",
    vehicle: "Fahrzeug {vehicle}",
    stated_in: "Angegeben in {source}: {proof}",
    load: "Übergabe {number} des Auftrags {job}, von {from}, zum Zweck: {purpose}",
    differences: "Was nicht wie angegeben ist",
    no_differences: "Nichts: jede Zeile ist wie angegeben.",
    what: "Was",
    stated: "Angegeben",
    found: "Vorgefunden",
    settle_by: "Zu klären bis",
    settled: "geklärt {day}",
    as_stated: "Wie angegeben",
    how: "Wie gesehen",
    held: "gesperrt: {why}",
    not_looked_at: "Was niemand angesehen hat",
    nothing_left: "Nichts ist ausgelassen.",
    hidden: "Eine Unterschrift sagt, was heute von außen gesehen wurde. Was in einem Versandstück verborgen \
             ist und was niemand angesehen hat, ist damit nicht angenommen; auch klärt sie keine Abweichung.",
    receiver: "Für den Betrieb empfangen",
    bringer: "Gebracht von",
};

const FIRE: FireWords = FireWords {
    fire_service: "FEUERWEHR",
    title: "Was brennt wo",
    from_register: "Batterien auf diesem Gelände, nach dem Register",
    as_of: "Stand",
    invented: "ERFUNDENER BETRIEB - NUR ZUR VORFÜHRUNG",
    call: "Zu jeder Stunde erreichbar",
    no_telephone: "Keine Telefonnummer genannt",
    nobody_answers: "wer zu jeder Stunde antwortet: in site.json steht keine Telefonnummer",
    in_all: "INSGESAMT",
    place: "Platz",
    what: "Was dort steht",
    how_much: "Wie viel",
    one_module: "1 Modul",
    modules: "{count} Module",
    chemistry: "Zellchemie",
    chemistry_not_known: "Zellchemie nicht bekannt",
    energy_left_out: "+ {count} mit unbekannter Energie",
    mass_left_out: "+ {count} mit unbekannter Masse",
    energy_not_known: "Energie: {modules}",
    mass_not_known: "Masse: {modules}",
    chemistry_of: "Zellchemie: {modules}",
    not_in_a_bay: "noch keinem Platz zugewiesen",
    held: "GESPERRT",
    read_at: "{identity}: {why}, {warm} \u{b0}C um {time}",
    not_read: "{identity}: {why}, noch nicht gemessen",
    distances: "Abstände",
    distances_not_stated: "nicht genannt",
    no_battery: "Keine Batterie auf dem Gelände.",
    empty: "Leer",
    not_known: "NICHT BEKANNT",
    keep_it: "Aus dem Register der Eingänge, Umlagerungen und Ausgänge; im Schlüsselkasten aufbewahren, am \
              Ende jeder Schicht neu drucken.",
    officer_decides: "Die Einsatzleitung entscheidet.",
    drawn: ["Batteriebrand", "beschädigt, kann brennen", "Batterie"],
    warnings: [
        [
            "Die Zellen bleiben unter Spannung und geladen: kein Schalter macht eine Batterie \
             spannungsfrei. Es wird volle Ladung angenommen.",
            "NFPA 70E Artikel 320, 2021 (aus zweiter Hand); volle Ladung: vorsichtige Seite dieses Projekts",
        ],
        [
            "Giftiges, brennbares Gas (Fluorwasserstoff, Kohlenmonoxid, Wasserstoff): Atemschutz, gegen \
             den Wind, nicht in den Dampf gehen.",
            "Fluorwasserstoff: Scientific Reports 7:10018 (2017), 20 bis 200 mg je Wh (im Auszug gelesen); \
             Ausrüstung: übliche Praxis, ohne Quelle",
        ],
        [
            "Viel Wasser, früh und lange; Feuerwehren berichten, dass Kühlen wirkt. Gesperrte Ware 15 m \
             von allem anderen fernhalten.",
            "Wasser: deutsche Feuerwehrleitungen in WD 8-010/21 (aus zweiter Hand); 15 m: Washington Senate \
             bill report 5909, für beschädigte Fahrzeuge (gelesen)",
        ],
        [
            "Es kann nach Stunden, Tagen oder Wochen wieder aufflammen: mit einer Kamera beobachten, sich \
             nicht allein auf sie verlassen.",
            "NTSB SR-20/01 und die Crashversuche von 2011 (aus zweiter Hand); Kamera: WD 8-010/21 (aus \
             zweiter Hand)",
        ],
        [
            "Ablaufendes Wasser kann sauer sein und Metalle tragen: von Abläufen fernhalten.",
            "übliche Praxis, ohne Quelle",
        ],
    ],
};

const HOLD: HoldWords = HoldWords {
    title: "Sperrzettel",
    hold: "GESPERRT",
    why: "warum",
    condition: "Zustand",
    seen: "gesehen",
    nothing_listed: "nichts eingetragen",
    bay: "Platz",
    no_bay: "KEIN PLATZ FREI: im Freien absondern",
    since: "seit",
    last_read: "zuletzt",
    not_yet: "noch nicht gemessen",
    read_next: "als Nächstes",
    none_due: "keine Messung fällig",
    not_before: "nicht vor",
    may_clear: "Freigabe",
    officer: "beauftragt",
    nobody: "NIEMAND GÜLTIG",
    printed: "Gedruckt {at}, {site}. Der Zettel sagt, wie es da stand.",
    invented: "ERFUNDENER BETRIEB: nur zur Vorführung.",
    rules: [
        "Eine Frist allein gibt nie frei: Messungen, ein Grund und zwei verschiedene Personen des \
         Betriebs, eine davon für Vorschriften beauftragt.",
        "Hitze, Rauch, Zischen oder Geruch: weggehen, andere fernhalten, Feuerwehr rufen.",
    ],
};

const TERMS: Terms = &[
    // Roles.
    ("compliance officer", "beauftragte Person für Vorschriften"),
    ("driver", "Fahrer"),
    ("fire officer", "Einsatzleitung der Feuerwehr"),
    ("handler", "Helfer"),
    ("owner", "Eigentümer"),
    ("packer", "Verpacker"),
    (
        "person in charge of the work",
        "arbeitsverantwortliche Person",
    ),
    ("planner", "Planer"),
    ("qualified electrical worker", "Elektrofachkraft"),
    ("safety watch", "Sicherungsposten"),
    ("warehouse receiver", "Wareneingang"),
    // Instruments, gloves, aids.
    ("clamp meter", "Strommesszange"),
    ("gas meter", "Gasmessgerät"),
    ("gloves", "isolierende Handschuhe"),
    ("insulated tools", "isoliertes Werkzeug"),
    ("insulation tester", "Isolationsmessgerät"),
    ("lifting aid", "Hebezeug"),
    ("multimeter", "Multimeter"),
    ("proving unit", "Prüfquelle"),
    ("scale", "Waage"),
    ("thermal camera", "Wärmebildkamera"),
    ("thermometer", "Kontaktthermometer"),
    ("torque wrench", "Drehmomentschlüssel"),
    ("voltmeter", "Voltmeter"),
    ("voltage tester", "zweipoliger Spannungsprüfer"),
    // Packagings of the record.
    ("UN packaging", "UN-Verpackung"),
    ("UN packaging {}", "UN-Verpackung {}"),
    ("large packaging", "Großverpackung"),
    ("large packaging {}", "Großverpackung {}"),
    ("open crate", "Verschlag"),
    ("pallet", "Palette"),
    ("protective enclosure", "Schutzeinrichtung"),
    ("strong outer", "starke Außenverpackung"),
    ("none", "keine"),
    // The wait for stored energy.
    (
        "computed to 60 V, tolerances included; the label says {} s",
        "bis 60 V gerechnet, mit Toleranzen; das Schild sagt {} s",
    ),
    (
        "computed to 60 V, tolerances included",
        "bis 60 V gerechnet, mit Toleranzen",
    ),
    ("the label", "das Schild"),
    (
        "no label and no figures: project default",
        "weder Schild noch Zahlen: Vorgabe des Projekts",
    ),
    // What makes a lifting index not applicable.
    ("one hand", "einhändig"),
    ("seated or kneeling", "sitzend oder kniend"),
    ("restricted space", "beengter Raum"),
    ("unstable object", "instabile Last"),
    (
        "carrying, pushing, pulling or stairs",
        "Tragen, Schieben, Ziehen oder Treppen",
    ),
    ("wheelbarrow or shovel", "Schubkarre oder Schaufel"),
    ("faster than about 76 cm/s", "schneller als etwa 76 cm/s"),
    ("floor friction under 0.4", "Reibung des Bodens unter 0,4"),
    (
        "well outside 19 to 26 °C or 35 to 50 % humidity",
        "weit außerhalb von 19 bis 26 °C oder 35 bis 50 % Feuchte",
    ),
    // State of charge.
    ("not known", "nicht bekannt"),
    (
        "the readings contradict each other: taken as full",
        "die Messungen widersprechen einander: gilt als voll",
    ),
    (
        "rested cells {} to {} V, ± {} mV a cell",
        "ruhende Zellen {} bis {} V, ± {} mV je Zelle",
    ),
    (
        "rested module {} V, ± {} mV a cell",
        "ruhendes Modul {} V, ± {} mV je Zelle",
    ),
    (
        "rested voltage, ± {} mV a cell",
        "Ruhespannung, ± {} mV je Zelle",
    ),
    (
        "battery management system {} % ± {}",
        "Batteriemanagement {} % ± {}",
    ),
    (
        "{} Ah counted out from {} %",
        "{} Ah entnommen und gezählt, ab {} %",
    ),
    // How a module was lifted.
    ("1 person, aid {}", "1 Person, Hebezeug {}"),
    ("{} persons, aid {}", "{} Personen, Hebezeug {}"),
    ("1 person", "1 Person"),
    ("{} persons", "{} Personen"),
    (
        "lifting index not applicable here",
        "Hebeindex hier nicht anwendbar",
    ),
    ("lifting index {}", "Hebeindex {}"),
    ("out of reach by hand", "von Hand außer Reichweite"),
    // Answers to a line of a receipt.
    ("received", "erhalten"),
    ("MISSING", "FEHLT"),
    ("UNEXPECTED", "UNERWARTET"),
    ("DAMAGED", "BESCHÄDIGT"),
    ("SEAL BROKEN", "PLOMBE GEBROCHEN"),
    ("SEAL MISSING", "PLOMBE FEHLT"),
    ("HOTTER", "WÄRMER"),
    ("MASS OFF", "MASSE WEICHT AB"),
    ("TWICE", "DOPPELT"),
    ("load", "Ladung"),
    ("package {}", "Versandstück {}"),
    (
        "its modules were read one by one",
        "seine Module wurden einzeln gelesen",
    ),
    ("read by itself", "für sich gelesen"),
    (
        "under the unbroken seal {} of {}",
        "unter der unversehrten Plombe {} von {}",
    ),
    ("sender: {}", "Absender: {}"),
    (
        "{}: hold it apart until the check on receipt has passed",
        "{}: absondern, bis die Prüfung beim Empfang bestanden ist",
    ),
    (
        "nobody stated what it is",
        "niemand hat angegeben, was es ist",
    ),
    ("sent as {}", "gesandt als {}"),
    ("hotter than sent", "wärmer als beim Versand"),
    ("seen on arrival: {}", "bei Ankunft gesehen: {}"),
    // Facts of both sides.
    ("seal", "Plombe"),
    ("gross mass", "Bruttomasse"),
    ("net mass", "Nettomasse"),
    ("temperature", "Temperatur"),
    ("air", "Luft"),
    ("condition", "Zustand"),
    ("soundness", "Zustand"),
    ("hold", "Sperre"),
    ("serial", "Seriennummer"),
    ("not readable", "nicht lesbar"),
    ("modules", "Module"),
    ("packages", "Versandstücke"),
    ("stands already", "steht schon"),
    ("looks like", "sieht aus wie"),
    ("damage", "Schaden"),
    ("none seen", "keiner gesehen"),
    ("findings", "Befunde"),
    ("count", "Anzahl"),
    ("volume", "Volumen"),
    ("rated energy", "Nennenergie"),
    ("chemistry", "Zellchemie"),
    ("photos", "Fotos"),
    ("remark", "Bemerkung"),
    ("{} intact", "{} unversehrt"),
    ("{} broken", "{} gebrochen"),
    ("{} missing", "{} fehlt"),
    ("intact", "unversehrt"),
    ("broken", "gebrochen"),
    ("missing", "fehlt"),
    // What nobody looked at.
    ("count of the pieces", "Zahl der Stücke"),
    ("number of the seal", "Nummer der Plombe"),
    ("visible damage", "sichtbarer Schaden"),
    (
        "temperature at the release, or of the air, to compare with",
        "Temperatur bei der Übergabe oder der Luft zum Vergleich",
    ),
    // Places and chemistries of a site.
    ("normal", "unversehrte Ware"),
    ("outdoor", "im Freien"),
    ("dock", "Rampe"),
    ("lithium-ion", "Lithium-Ionen"),
    ("lithium-metal", "Lithium-Metall"),
    ("lithium-hybrid", "Lithium-Ionen und Lithium-Metall"),
    ("lithium-sodium-mixed", "Lithium- und Natrium-Ionen"),
    ("lead-acid", "Blei-Säure"),
    ("nickel-metal-hydride", "Nickel-Metallhydrid"),
    ("sodium-metal", "Natrium-Metall"),
    ("unknown", "nicht bekannt"),
    ("sodium-ion-organic", "Natrium-Ionen (organisch)"),
    ("sodium-ion-aqueous", "Natrium-Ionen (wässrig)"),
    // Materials and their targets.
    ("total", "Summe"),
    ("energy", "Energie"),
    ("mass", "Masse"),
    ("energy and mass", "Energie und Masse"),
    ("board", "Platine"),
    ("board, other", "Platine, anderes"),
    ("binder", "Binder"),
    ("electrolyte solvent", "Lösungsmittel des Elektrolyts"),
    ("graphite", "Graphit"),
    ("other carbon", "anderer Kohlenstoff"),
    ("separator and plastics", "Separator und Kunststoffe"),
    ("steel", "Stahl"),
    ("O in cathode", "O in der Kathode"),
    (
        "recycling efficiency, lithium-based",
        "Recyclingeffizienz, lithiumbasiert",
    ),
    ("recycling efficiency, other", "Recyclingeffizienz, andere"),
    ("recovery of lithium", "Rückgewinnung von Lithium"),
    (
        "recovery of cobalt, copper, lead, nickel",
        "Rückgewinnung von Cobalt, Kupfer, Blei, Nickel",
    ),
    ("read", "gelesen"),
    ("second-hand", "aus zweiter Hand"),
    ("from memory, unverified", "aus dem Gedächtnis, ungeprüft"),
    (
        "read (year; day from memory)",
        "gelesen (Jahr; Tag aus dem Gedächtnis)",
    ),
];

const FINDINGS: Terms = &[
    ("F01", "Rauch, Flamme oder Gasstrahl"),
    ("F02", "Zischen, Knallen oder Knistern aus dem Modul"),
    (
        "F03",
        "Temperatur steigt, obwohl nichts angeschlossen ist, 0,1 K/min oder mehr über der Luft in 10 min",
    ),
    (
        "F04",
        "Temperatur steigt, obwohl nichts angeschlossen ist, 1,2 K/h oder mehr über der Luft",
    ),
    ("F05", "Oberfläche 60 °C oder mehr, nichts angeschlossen"),
    (
        "F06",
        "Oberfläche 45 bis 60 °C, nichts angeschlossen, nicht in der Sonne",
    ),
    ("F07", "süßlicher oder stechender Geruch nach Lösungsmittel"),
    (
        "F08",
        "Flüssigkeit oder Rückstand aus Zelle, Modul oder Entlüftung",
    ),
    ("F09", "Entlüftung oder Berstscheibe offen"),
    (
        "F10",
        "aufgeblähte Zelle, gewölbtes Gehäuse, Deckel nicht mehr bündig",
    ),
    (
        "F11",
        "Gehäuse gerissen, durchstochen, gequetscht oder verbogen, Zellen nicht getroffen",
    ),
    ("F12", "Zelle durchstochen, gequetscht oder verbogen"),
    ("F13", "gefallen oder angestoßen, nichts zu sehen"),
    ("F14", "verfärbtes oder angesengtes Gehäuse, Ruß"),
    ("F15", "war in einem Feuer oder daneben"),
    ("F16", "Wasser im Inneren, Flutlinie, Salzrückstände"),
    ("F17", "korrodierte Pole oder Schienen"),
    (
        "F18",
        "eine Zelle unter dem Mindestwert des Herstellers, aber 1,5 V oder mehr",
    ),
    ("F19", "eine Zelle unter 1,5 V oder umgepolt"),
    ("F20", "eine Zelle über dem Höchstwert des Herstellers"),
    ("F21", "keine Spannung an den Polen, Ursache nicht bekannt"),
    ("F22", "ruhende Zellen liegen mehr als 100 mV auseinander"),
    ("F23", "verliert 1 % Ladung am Tag oder mehr (Regel V1)"),
    ("F24", "verliert 3 % Ladung am Tag oder mehr (Regel V2)"),
    ("F25", "Isolation 100 bis 500 Ohm je Volt"),
    ("F26", "Isolation unter 100 Ohm je Volt"),
    (
        "F27",
        "Batteriemanagement meldet inneren Kurzschluss, thermischen oder dauernden Fehler",
    ),
    ("F28", "Batteriemanagement tot, fehlt oder nicht auslesbar"),
    (
        "F29",
        "Sicherung durchgebrannt, Schütz verschweißt, Entlüftung oder Abschaltung verändert",
    ),
    (
        "F30",
        "Protokoll oder Vorgeschichte von Überladung, Tiefentladung, äußerem Kurzschluss oder falschem Anschluss",
    ),
    (
        "F31",
        "in einem Rückruf oder Sicherheitshinweis des Herstellers genannt",
    ),
    ("F32", "geöffnet, Abdeckung fehlt, Zellen liegen frei"),
    (
        "F33",
        "Vorgeschichte nicht bekannt und keine Möglichkeit zu prüfen",
    ),
    ("F34", "lose Teile, Klappern"),
    ("F35", "Zellchemie nicht bekannt"),
    ("F36", "Kapazität oder Widerstand schlecht, sonst nichts"),
    ("F37", "Messungen des Ladezustands widersprechen einander"),
];
