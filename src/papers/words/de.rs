//! The words of papers in German. Marks, statements, declarations, sentences of rules and of
//! procedures stay in the language that they are kept in, and each paper says so.

use super::form::{
    CautionWords, DischargeWords, MaterialsWords, MethodWords, PackageWords, ReceiptWords,
    StateWords, Words,
};

/// German.
pub(crate) const DE: Words = Words {
    language: "de",
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
