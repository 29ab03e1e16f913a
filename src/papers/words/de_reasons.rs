//! Parts of the refusals and duties that papers show, in German: English beside it, in the order
//! in which they are looked for.

use super::terms::Terms;

pub(crate) const REASONS: Terms = &[
    // How a clause is known.
    (
        "project default, not law",
        "Vorgabe dieses Projekts, kein Recht",
    ),
    ("common practice, no source", "gängige Praxis, keine Quelle"),
    (
        "interval second-hand, clause from memory",
        "Frist aus zweiter Hand, Fundstelle aus dem Gedächtnis",
    ),
    // A discharge that is not to be.
    ("list of this project", "Liste dieses Projekts"),
    (
        "steps X12 and X18 of the procedure",
        "Schritte X12 und X18 des Verfahrens",
    ),
    ("plate of the load", "Schild der Last"),
    ("load {} ({})", "Last {} ({})"),
    (
        "bring a load that draws {} A at the most: a resistor of {} ohm or more that bears {} W",
        "eine Last mitbringen, die höchstens {} A zieht: ein Widerstand von {} Ohm oder mehr, der {} W verträgt",
    ),
    (
        "a load that the module can feed",
        "eine Last, die das Modul speisen kann",
    ),
    ("{} W, what it bears", "{} W, was sie verträgt"),
    (
        "{} A: 0.2 of the rated capacity",
        "{} A: 0,2 der Nennkapazität",
    ),
    ("warms the module by {} K", "erwärmt das Modul um {} K"),
    (
        "a cell comes to its least voltage before the target",
        "eine Zelle erreicht ihre kleinste Spannung vor dem Ziel",
    ),
    ("{} V a cell under load", "{} V je Zelle unter Last"),
    ("cells in series", "Zellen in Reihe"),
    ("rated capacity", "Nennkapazität"),
    (
        "known before a discharge is planned",
        "bekannt, bevor eine Entladung geplant wird",
    ),
    (
        "read the plate, or ask the maker, and put it into the plan",
        "das Schild ablesen oder den Hersteller fragen und es in den Plan eintragen",
    ),
    ("discharge", "Entladung"),
    ("surface", "Oberfläche"),
    ("discharge, air", "Entladung, Luft"),
    ("discharge, {}", "Entladung, {}"),
    ("a chemistry with a curve", "eine Chemie mit einer Kurve"),
    (
        "get the maker's own table of rested cell voltages",
        "die Tabelle des Herstellers für ruhende Zellspannungen beschaffen",
    ),
    (
        "sound or suspect, as somebody judged it",
        "unversehrt oder verdächtig, wie jemand es beurteilt hat",
    ),
    (
        "leave the charge in it: treat it as full, and let a specialist decide",
        "die Ladung darin lassen: als voll behandeln und einen Fachmann entscheiden lassen",
    ),
    ("{} °C at most", "höchstens {} °C"),
    ("{} °C at least", "mindestens {} °C"),
    (
        "bring it to a warmer place and let it warm through, then read again",
        "an einen wärmeren Ort bringen und durchwärmen lassen, dann neu messen",
    ),
    (
        "step away and watch it; it is read again when it has cooled",
        "weggehen und beobachten; nach dem Abkühlen wird wieder gemessen",
    ),
    (
        "no finding that shuts it out",
        "kein Befund, der sie ausschließt",
    ),
    (
        "`{}` is {}; the sum holds for {}",
        "`{}` ist {}; die Rechnung gilt für {}",
    ),
    (
        "no more than the {} % of {} Ah that it began with: the count, the starting point or the capacity is wrong",
        "nicht mehr als die {} % von {} Ah, mit denen es begann: die Zählung, der Ausgangspunkt oder die Kapazität ist falsch",
    ),
    ("1 to 1000 cells in series", "1 bis 1000 Zellen in Reihe"),
    (
        "one value for each of `cells`",
        "ein Wert für jede von `cells`",
    ),
    (
        "not above cell_voltage_highest_v",
        "nicht über cell_voltage_highest_v",
    ),
    // A state of charge that is not proven.
    (
        "a finding says that a cell is outside its limits: its voltage does not count",
        "ein Befund sagt, dass eine Zelle außerhalb ihrer Grenzen ist: ihre Spannung zählt nicht",
    ),
    (
        "{} V nominal over {} cells is {} V a cell, and cells of this chemistry have {} to {} V (from memory): chemistry or number of cells is wrong; the voltage does not count",
        "{} V Nennspannung über {} Zellen sind {} V je Zelle, und Zellen dieser Chemie haben {} bis {} V (aus dem Gedächtnis): Chemie oder Zahl der Zellen ist falsch; die Spannung zählt nicht",
    ),
    (
        "the number of cells in series is not known: the voltage does not count",
        "die Zahl der Zellen in Reihe ist nicht bekannt: die Spannung zählt nicht",
    ),
    (
        "the reading of {} does not count: {}",
        "die Messung von {} zählt nicht: {}",
    ),
    (
        "the readings of its charge contradict each other (finding {}): read every cell again with another meter, and correct what was wrong",
        "die Messungen der Ladung widersprechen sich (Befund {}): jede Zelle mit einem anderen Messgerät noch einmal messen und berichtigen, was falsch war",
    ),
    (
        "its lowest cell loses {} % a day ({}): record finding {}",
        "ihre niedrigste Zelle verliert {} % am Tag ({}): Befund {} eintragen",
    ),
    (
        "nothing was read of its charge",
        "von der Ladung wurde nichts gemessen",
    ),
    (
        "the management value is doubted by a finding and does not count",
        "der Wert des Batteriemanagements ist durch einen Befund zweifelhaft und zählt nicht",
    ),
    (
        "the evidence contradicts itself: at least {} % and at most {} %; record finding F37 and read again",
        "die Belege widersprechen sich: mindestens {} % und höchstens {} %; Befund F37 eintragen und neu messen",
    ),
    (
        "rest: lithium iron phosphate proves nothing before {} h without current",
        "Ruhe: Lithium-Eisenphosphat beweist nichts vor {} h ohne Strom",
    ),
    ("no voltage was read", "keine Spannung wurde gemessen"),
    (
        "a module voltage says nothing of the cells: no cell values, and their spread is not known from elsewhere",
        "eine Modulspannung sagt nichts über die Zellen: keine Zellwerte, und ihre Spreizung ist nicht anderswoher bekannt",
    ),
    (
        "how long it rested is not known; rest it 3 h, LFP 24 h",
        "wie lange es geruht hat, ist nicht bekannt; 3 h ruhen lassen, LFP 24 h",
    ),
    (
        "the last place of the meter is {} mV a cell: too coarse to show that it stands still within 1 mV",
        "die letzte Stelle des Messgeräts ist {} mV je Zelle: zu grob, um zu zeigen, dass die Spannung auf 1 mV steht",
    ),
    (
        "rested {} h; 3 h at the least, or after 1 h two readings 30 min apart that differ by less than 1 mV a cell",
        "hat {} h geruht; mindestens 3 h, oder nach 1 h zwei Messungen im Abstand von 30 min, die sich um weniger als 1 mV je Zelle unterscheiden",
    ),
    (
        "current is {} A; only a cell without current is rested",
        "der Strom ist {} A; nur eine Zelle ohne Strom ruht",
    ),
    (
        "the current is not known; it must be 0 A",
        "der Strom ist nicht bekannt; er muss 0 A sein",
    ),
    (
        "surface is {} °C; the sum holds for 5 to 35 °C",
        "die Oberfläche hat {} °C; die Rechnung gilt für 5 bis 35 °C",
    ),
    (
        "the surface temperature is not known",
        "die Temperatur der Oberfläche ist nicht bekannt",
    ),
    ("the chemistry is not known", "die Chemie ist nicht bekannt"),
    (
        "no published curve is good enough for this chemistry; the maker's own table is needed",
        "keine veröffentlichte Kurve ist gut genug für diese Chemie; die Tabelle des Herstellers ist nötig",
    ),
    (
        "a cell is outside its maker's limits: record the finding",
        "eine Zelle ist außerhalb der Grenzen ihres Herstellers: den Befund eintragen",
    ),
    (
        "may be as much as {} %; the limit is {} %",
        "kann bis zu {} % sein; die Grenze ist {} %",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; discharge until the highest rested cell is at {} V or below",
        "eines davon: den Wert des Batteriemanagements ablesen; die Ladung von einem bekannten Punkt an zählen; entladen, bis die höchste ruhende Zelle {} V oder weniger hat",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; get the maker's own voltage table",
        "eines davon: den Wert des Batteriemanagements ablesen; die Ladung von einem bekannten Punkt an zählen; die Spannungstabelle des Herstellers beschaffen",
    ),
    // Figures of an arc.
    (
        "below 100 V the method is silent, which is not safe",
        "unter 100 V schweigt das Verfahren, was nicht sicher heißt",
    ),
    // Instruments that are not in date.
    ("calibration of {}", "Kalibrierung: {}"),
    ("electrical test of {}", "elektrische Prüfung: {}"),
    ("clamp meter {}", "Strommesszange {}"),
    ("gas meter {}", "Gasmessgerät {}"),
    ("gloves {}", "isolierende Handschuhe {}"),
    ("insulated tools {}", "isoliertes Werkzeug {}"),
    ("insulation tester {}", "Isolationsmessgerät {}"),
    ("lifting aid {}", "Hebezeug {}"),
    ("multimeter {}", "Multimeter {}"),
    ("proving unit {}", "Prüfquelle {}"),
    ("scale {}", "Waage {}"),
    ("thermal camera {}", "Wärmebildkamera {}"),
    ("thermometer {}", "Kontaktthermometer {}"),
    ("torque wrench {}", "Drehmomentschlüssel {}"),
    ("voltage tester {}", "zweipoliger Spannungsprüfer {}"),
    ("voltmeter {}", "Voltmeter {}"),
    (
        "within six months before {}",
        "innerhalb von sechs Monaten vor {}",
    ),
    ("due {}", "fällig {}"),
    ("{} or later", "{} oder später"),
    (
        "take gloves that are in date; nobody on site may waive this",
        "gültig geprüfte Handschuhe nehmen; niemand vor Ort darf darauf verzichten",
    ),
    (
        "take gloves with a readable test date",
        "Handschuhe mit lesbarem Prüfdatum nehmen",
    ),
    (
        "use an instrument that is in date, and flag what this one tested since",
        "ein gültig kalibriertes Gerät nehmen und kennzeichnen, was dieses seither geprüft hat",
    ),
    // A package that is not accepted.
    ("package", "Versandstück"),
    ("no", "nein"),
    ("not described", "nicht beschrieben"),
    ("say what it is packed in", "angeben, worin es verpackt ist"),
    (
        "the packer repacks it in what the limit names",
        "der Verpacker packt es in das um, was die Grenze nennt",
    ),
    (
        "{}: a packaging with a UN mark, {} or better",
        "{}: eine Verpackung mit UN-Kennzeichen, {} oder besser",
    ),
    ("ask {}", "fragen: {}"),
    ("packing instruction", "Verpackungsanweisung"),
    ("none determined", "keine bestimmt"),
    (
        "settle the decision for the battery first: see its reasons",
        "zuerst die Entscheidung für die Batterie klären: siehe ihre Gründe",
    ),
    (
        "does it meet the approval in every point; its reader decides",
        "erfüllt es die Zulassung in jedem Punkt; wer sie liest, entscheidet",
    ),
    (
        "what is the UN mark on the packaging",
        "wie lautet das UN-Kennzeichen auf der Verpackung",
    ),
    (
        "copy the whole mark from the packaging",
        "das ganze Kennzeichen von der Verpackung abschreiben",
    ),
    (
        "S: tested for solids and inner packagings",
        "S: geprüft für feste Stoffe und Innenverpackungen",
    ),
    (
        "ask the maker for a mark with S; a test for liquids does not cover batteries",
        "den Hersteller um ein Kennzeichen mit S bitten; eine Prüfung für Flüssigkeiten deckt Batterien nicht ab",
    ),
    ("{} with the mark {}", "{} mit dem Kennzeichen {}"),
    (
        "codes 50 and 51 are large packagings, all others are not",
        "Codes 50 und 51 sind Großverpackungen, alle anderen nicht",
    ),
    ("which of the two is right", "was von beiden stimmt"),
    ("packaging code", "Verpackungscode"),
    ("packing group letter", "Buchstabe der Verpackungsgruppe"),
    ("{} or better", "{} oder besser"),
    (
        "the packer repacks it in a packaging tested for the higher group",
        "der Verpacker packt es in eine für die höhere Gruppe geprüfte Verpackung um",
    ),
    (
        "a salvage packaging only for a package found damaged on the way",
        "eine Bergungsverpackung nur für ein Versandstück, das unterwegs beschädigt gefunden wurde",
    ),
    ("on which day is it packed", "an welchem Tag wird verpackt"),
    (
        "manufacture of the plastics packaging",
        "Herstellung der Kunststoffverpackung",
    ),
    (
        "in which month was it made: five years end this year",
        "in welchem Monat wurde sie hergestellt: fünf Jahre enden in diesem Jahr",
    ),
    (
        "on which day was it made: five years end this month",
        "an welchem Tag wurde sie hergestellt: fünf Jahre enden in diesem Monat",
    ),
    ("{} years from manufacture", "{} Jahre ab Herstellung"),
    (
        "the packer repacks it in a newer one",
        "der Verpacker packt es in eine neuere um",
    ),
    (
        "how many batteries are in it",
        "wie viele Batterien sind darin",
    ),
    (
        "the packer packs each battery in an outer packaging of its own",
        "der Verpacker packt jede Batterie in eine eigene Außenverpackung",
    ),
    (
        "what do the batteries in it weigh together",
        "was wiegen die Batterien darin zusammen",
    ),
    (
        "the packer packs fewer batteries, or takes another packaging",
        "der Verpacker packt weniger Batterien ein oder nimmt eine andere Verpackung",
    ),
    (
        "what does the closed package weigh",
        "was wiegt das verschlossene Versandstück",
    ),
    ("{} in the mark", "{} im Kennzeichen"),
    (
        "the packer takes a packaging with a higher mass in its mark",
        "der Verpacker nimmt eine Verpackung mit größerer Masse im Kennzeichen",
    ),
    (
        "the inner packaging is not leak-proof: is the outer",
        "die Innenverpackung ist nicht dicht: ist es die Außenverpackung",
    ),
    (
        "the packer puts that right and closes the package again",
        "der Verpacker bringt das in Ordnung und verschließt das Versandstück neu",
    ),
    (
        "which verification report covers this package",
        "welcher Prüfbericht deckt dieses Versandstück ab",
    ),
    (
        "what is the number of the report",
        "welche Nummer hat der Bericht",
    ),
    (
        "which battery types does the report name",
        "welche Batterietypen nennt der Bericht",
    ),
    ("{} in the report", "{} im Bericht"),
    (
        "the packer packs no more than the report covers",
        "der Verpacker packt nicht mehr ein, als der Bericht abdeckt",
    ),
    (
        "how many batteries does the report cover",
        "wie viele Batterien deckt der Bericht ab",
    ),
    ("energy in the package", "Energie im Versandstück"),
    (
        "the packer takes a package verified for this energy",
        "der Verpacker nimmt ein Versandstück, das für diese Energie geprüft ist",
    ),
    (
        "what rated energy in Wh does the nameplate state, and how many batteries are in it",
        "welche Nennenergie in Wh nennt das Typenschild, und wie viele Batterien sind darin",
    ),
    (
        "what energy does the report cover",
        "welche Energie deckt der Bericht ab",
    ),
    (
        "what state of charge does the report cover",
        "welchen Ladezustand deckt der Bericht ab",
    ),
    ("highest state of charge", "höchster Ladezustand"),
    (
        "the packer takes a package verified for this state of charge",
        "der Verpacker nimmt ein Versandstück, das für diesen Ladezustand geprüft ist",
    ),
    ("mark on the package", "Kennzeichen auf dem Versandstück"),
    ("not on it", "nicht darauf"),
    ("{}, at least {} mm", "{}, mindestens {} mm"),
    (
        "the packer puts it on before the package is handed over",
        "der Verpacker bringt es an, bevor das Versandstück übergeben wird",
    ),
    ("height of the mark {}", "Höhe des Kennzeichens {}"),
    (
        "the packer marks it again in larger letters",
        "der Verpacker kennzeichnet noch einmal in größeren Buchstaben",
    ),
    ("labels on the package", "Gefahrzettel auf dem Versandstück"),
    ("label {}", "Gefahrzettel {}"),
    (
        "the packer puts the right label on",
        "der Verpacker bringt den richtigen Gefahrzettel an",
    ),
    // Figures that cannot be.
    ("more than 0 kg", "mehr als 0 kg"),
    (
        "weigh the battery, or read its nameplate again",
        "die Batterie wiegen oder ihr Typenschild noch einmal lesen",
    ),
    ("more than 0 Wh", "mehr als 0 Wh"),
    (
        "read the nameplate again",
        "das Typenschild noch einmal lesen",
    ),
    ("{} to {} %", "{} bis {} %"),
    (
        "from 0 to 100 %, the lowest first",
        "von 0 bis 100 %, der kleinste zuerst",
    ),
    (
        "look at the readings again: which of the two is right",
        "die Messungen noch einmal ansehen: was von beiden stimmt",
    ),
    ("at least 1", "mindestens 1"),
    (
        "count the batteries in the package",
        "die Batterien im Versandstück zählen",
    ),
    (
        "weigh what is in the package",
        "wiegen, was im Versandstück ist",
    ),
    ("{}, with {} inside", "{}, mit {} darin"),
    (
        "no less than the batteries in it",
        "nicht weniger als die Batterien darin",
    ),
    (
        "weigh the package again: which of the two is right",
        "das Versandstück noch einmal wiegen: was von beiden stimmt",
    ),
    // What a packaging must be.
    (
        "each battery alone in an inner packaging",
        "jede Batterie für sich in einer Innenverpackung",
    ),
    (
        "inner packaging encloses the battery fully",
        "die Innenverpackung umschließt die Batterie ganz",
    ),
    (
        "inner packaging is not of metal",
        "die Innenverpackung ist nicht aus Metall",
    ),
    (
        "inner or outer packaging is leak-proof",
        "die Innen- oder Außenverpackung ist dicht",
    ),
    (
        "cushioning or insulation does not burn",
        "Polster oder Isolierung brennen nicht",
    ),
    (
        "cushioning or insulation does not conduct",
        "Polster oder Isolierung leiten nicht",
    ),
    ("cushioning is absorbent", "das Polster ist saugfähig"),
    (
        "inert absorbent material for a leaking battery",
        "inertes saugfähiges Material für eine auslaufende Batterie",
    ),
    (
        "thermal insulation around the inner packaging",
        "Wärmedämmung um die Innenverpackung",
    ),
    (
        "lining that does not conduct in a metal outer",
        "nicht leitende Auskleidung in einer Außenverpackung aus Metall",
    ),
    (
        "protection against short circuit",
        "Schutz gegen Kurzschluss",
    ),
    ("secured against shifting", "gegen Verrutschen gesichert"),
    (
        "no weight of others on the battery terminals",
        "kein Gewicht anderer auf den Batteriepolen",
    ),
    // A decision that is open.
    ("edition of the rules", "Ausgabe der Regeln"),
    (
        "none encoded for {} by {} on {}",
        "keine erfasst für {}, {}, am {}",
    ),
    (
        "ask the compliance officer; this rule set does not answer for it",
        "die beauftragte Person für Vorschriften fragen; dieser Regelstand gibt darauf keine Antwort",
    ),
    ("may not travel so", "darf so nicht befördert werden"),
    ("transport category", "Beförderungskategorie"),
    ("rows of this rule set", "Zeilen dieses Regelstands"),
    ("none decides this case", "keine entscheidet diesen Fall"),
    (
        "ask the compliance officer",
        "die beauftragte Person für Vorschriften fragen",
    ),
    (
        "counts as undiagnosed, and so as damaged",
        "gilt als nicht beurteilbar und damit als beschädigt",
    ),
    (
        "two rows disagree and neither names the other",
        "zwei Zeilen widersprechen sich, und keine nennt die andere",
    ),
    (
        "report it; ask the compliance officer meanwhile",
        "melden; bis dahin die beauftragte Person für Vorschriften fragen",
    ),
    (
        "how does it travel: road, rail, sea or aircraft",
        "wie wird befördert: Straße, Schiene, See oder Luft",
    ),
    (
        "is an approval of a competent authority in hand, and which",
        "liegt eine Genehmigung einer zuständigen Behörde vor, und welche",
    ),
    (
        "is the casing strong and impact-resistant, and can that be shown",
        "ist das Gehäuse fest und stoßfest, und lässt sich das zeigen",
    ),
    (
        "which chemistry does the nameplate or the maker state",
        "welche Chemie nennt das Typenschild oder der Hersteller",
    ),
    (
        "does the battery travel alone, or with or in its equipment",
        "wird die Batterie allein, mit oder in ihrem Gerät befördert",
    ),
    (
        "what rated energy in Wh does the nameplate state",
        "welche Nennenergie in Wh nennt das Typenschild",
    ),
    (
        "does the energy in Wh stand on the outside of the case",
        "steht die Energie in Wh außen auf dem Gehäuse",
    ),
    (
        "does liquid or gas leave the battery",
        "tritt Flüssigkeit oder Gas aus der Batterie aus",
    ),
    (
        "when was the battery made",
        "wann wurde die Batterie hergestellt",
    ),
    (
        "what does the battery weigh without packaging",
        "was wiegt die Batterie ohne Verpackung",
    ),
    (
        "on which day does it travel",
        "an welchem Tag wird sie befördert",
    ),
    ("what is it packed in", "worin ist sie verpackt"),
    (
        "what do the batteries in the package weigh together",
        "was wiegen die Batterien im Versandstück zusammen",
    ),
    (
        "what is the battery carried for",
        "wofür wird die Batterie befördert",
    ),
    (
        "has the maker or an authority named this battery unsafe",
        "hat der Hersteller oder eine Behörde diese Batterie unsicher genannt",
    ),
    (
        "what did the inspection find: sound, suspect, undiagnosed, damaged or critical",
        "was ergab die Prüfung: unversehrt, verdächtig, nicht beurteilbar, beschädigt oder kritisch",
    ),
    (
        "can it still be charged or give power",
        "kann sie noch geladen werden oder Strom abgeben",
    ),
    (
        "is there a UN 38.3 test summary for this battery as it is offered",
        "gibt es eine Prüfzusammenfassung nach UN 38.3 für diese Batterie, wie sie übergeben wird",
    ),
    (
        "was it collected from private households",
        "wurde sie in privaten Haushalten gesammelt",
    ),
    (
        "is the casing of a single cell breached",
        "ist das Gehäuse einer einzelnen Zelle verletzt",
    ),
    (
        "what is the state of charge, lowest and highest",
        "wie hoch ist der Ladezustand, niedrigster und höchster",
    ),
    (
        "does it stand on deck or under deck",
        "steht es an oder unter Deck",
    ),
    (
        "is it a short international voyage",
        "ist es eine kurze internationale Reise",
    ),
    (
        "have the State of Origin and the State of the Operator approved it",
        "haben der Ursprungsstaat und der Staat des Luftfahrtunternehmens zugestimmt",
    ),
    (
        "has the State of Origin approved it",
        "hat der Ursprungsstaat zugestimmt",
    ),
    (
        "is a special permit in hand, and which",
        "liegt eine Sondergenehmigung vor, und welche",
    ),
    (
        "which agreement of states is used",
        "welche Vereinbarung von Staaten wird angewendet",
    ),
    (
        "until when is each approval good",
        "bis wann gilt jede Genehmigung",
    ),
    (
        "does the battery mark show a telephone number",
        "zeigt das Batteriekennzeichen eine Telefonnummer",
    ),
    (
        "which relief is claimed",
        "welche Erleichterung wird in Anspruch genommen",
    ),
    // What the rules ask of a battery only because it is not sound.
    (
        "With a critical battery aboard there always travel the instructions in writing, a driver's certificate and photo, plates, two extinguishers and the vehicle's kit.",
        "Mit einer kritischen Batterie an Bord fahren immer die schriftlichen Weisungen, Bescheinigung und Lichtbild des Fahrers, Tafeln, zwei Feuerlöscher und die Ausrüstung des Fahrzeugs mit.",
    ),
    (
        "Damaged and waste batteries stand on deck only, unless the voyage is a short international one.",
        "Beschädigte Batterien und solche als Abfall stehen nur an Deck, außer auf einer kurzen internationalen Reise.",
    ),
    (
        "A damaged battery that may react dangerously on the way is in transport category 0: never on a small load, and the document says so.",
        "Eine beschädigte Batterie, die unterwegs gefährlich reagieren kann, gehört in die Beförderungskategorie 0: nie als kleine Ladung, und das Papier sagt es.",
    ),
    (
        "In the edition of 2023 a battery that may react dangerously was in transport category 0 by its special provision itself.",
        "In der Ausgabe von 2023 gehörte eine Batterie, die gefährlich reagieren kann, durch ihre Sondervorschrift selbst in die Beförderungskategorie 0.",
    ),
    (
        "A battery that is not plainly sound travels apart from sound ones and is watched on receipt.",
        "Eine Batterie, die nicht eindeutig unversehrt ist, wird getrennt von unversehrten befördert und beim Empfang beobachtet.",
    ),
    (
        "The record says who assessed the battery, by which criteria, what was found, when, and at what state of charge.",
        "Das Protokoll sagt, wer die Batterie beurteilt hat, nach welchen Kriterien, was gefunden wurde, wann und bei welchem Ladezustand.",
    ),
    (
        "A critical battery travels only in a package verified for its type, number, energy and state of charge; the report is at hand.",
        "Eine kritische Batterie wird nur in einem Versandstück befördert, das für ihren Typ, ihre Zahl, Energie und ihren Ladezustand geprüft ist; der Bericht liegt vor.",
    ),
    (
        "Before it travels as damaged but not critical, the maker's criteria or a technical expert have ruled out a dangerous reaction, in writing; otherwise it is critical.",
        "Bevor sie als beschädigt, aber nicht kritisch befördert wird, haben die Kriterien des Herstellers oder ein Sachverständiger eine gefährliche Reaktion schriftlich ausgeschlossen; sonst ist sie kritisch.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels as damaged, whatever it is carried for.",
        "Eine Batterie, die beschädigt oder defekt befunden, aus Sicherheitsgründen zurückgerufen oder nicht bestimmbar ist, wird als beschädigt befördert, gleich wofür.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material.",
        "Um eine auslaufende Batterie ist genug inertes saugfähiges Material.",
    ),
    (
        "A battery that may react dangerously stays where it is while it heats, smokes or vents; it leaves only when the officer has released it in writing.",
        "Eine Batterie, die gefährlich reagieren kann, bleibt, wo sie ist, solange sie sich erwärmt, raucht oder Gas abgibt; sie geht erst, wenn die beauftragte Person sie schriftlich freigegeben hat.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels one to a packaging for packing group I, whatever it is carried for.",
        "Eine Batterie, die beschädigt oder defekt befunden, aus Sicherheitsgründen zurückgerufen oder nicht bestimmbar ist, wird einzeln in einer Verpackung für Verpackungsgruppe I befördert, gleich wofür.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material, and nothing leaves the package.",
        "Um eine auslaufende Batterie ist genug inertes saugfähiges Material, und nichts tritt aus dem Versandstück aus.",
    ),
    (
        "Damaged and waste batteries are stowed as category C, on deck, unless the voyage is a short international one.",
        "Beschädigte Batterien und solche als Abfall werden nach Kategorie C an Deck gestaut, außer auf einer kurzen internationalen Reise.",
    ),
    // How the statement of a load is known.
    (
        "unannounced: nothing was stated",
        "unangemeldet: nichts wurde angegeben",
    ),
    (
        "entry {} of a log of {} entries, {}",
        "Eintrag {} eines Protokolls von {} Einträgen, {}",
    ),
    (
        "signed with the public demo key, which proves nothing",
        "unterschrieben mit dem öffentlichen Schauschlüssel, der nichts beweist",
    ),
    (
        "signed by {}, trusted here",
        "unterschrieben von {}, dem hier vertraut wird",
    ),
    (
        "signed by a key that is not trusted here; ask the giver for it some other way than with the load (log {})",
        "unterschrieben mit einem Schlüssel, dem hier nicht vertraut wird; den Übergebenden auf anderem Weg als mit der Ladung danach fragen (Protokoll {})",
    ),
    ("NOT SIGNED", "NICHT UNTERSCHRIEBEN"),
    (
        "the sender's own table, columns confirmed here: not proved",
        "die eigene Tabelle des Absenders, Spalten hier bestätigt: nicht bewiesen",
    ),
    (
        "stated by the sender, without a log: not proved",
        "vom Absender angegeben, ohne Protokoll: nicht bewiesen",
    ),
];
