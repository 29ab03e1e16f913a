//! Parts of the refusals and duties that papers show, in French: English beside it, in the order
//! in which they are looked for.

use super::terms::Terms;

pub(crate) const REASONS: Terms = &[
    // How a clause is known.
    (
        "project default, not law",
        "valeur de ce projet, pas la loi",
    ),
    (
        "common practice, no source",
        "pratique courante, sans source",
    ),
    (
        "interval second-hand, clause from memory",
        "délai de seconde main, référence de mémoire",
    ),
    // A discharge that is not to be.
    ("list of this project", "liste de ce projet"),
    (
        "steps X12 and X18 of the procedure",
        "étapes X12 et X18 de la procédure",
    ),
    ("plate of the load", "plaque de la charge"),
    ("load {} ({})", "charge {} ({})"),
    (
        "bring a load that draws {} A at the most: a resistor of {} ohm or more that bears {} W",
        "apporter une charge qui tire {} A au plus : une résistance de {} ohm ou plus qui supporte {} W",
    ),
    (
        "a load that the module can feed",
        "une charge que le module peut alimenter",
    ),
    ("{} W, what it bears", "{} W, ce qu'elle supporte"),
    (
        "{} A: 0.2 of the rated capacity",
        "{} A : 0,2 de la capacité nominale",
    ),
    ("warms the module by {} K", "échauffe le module de {} K"),
    (
        "a cell comes to its least voltage before the target",
        "une cellule atteint sa tension minimale avant l'objectif",
    ),
    ("{} V a cell under load", "{} V par cellule en charge"),
    ("cells in series", "cellules en série"),
    ("rated capacity", "capacité nominale"),
    (
        "known before a discharge is planned",
        "connu avant de prévoir une décharge",
    ),
    (
        "read the plate, or ask the maker, and put it into the plan",
        "lire la plaque, ou demander au fabricant, et le mettre dans le plan",
    ),
    ("discharge", "décharge"),
    ("surface", "surface"),
    ("discharge, air", "décharge, air"),
    ("discharge, {}", "décharge, {}"),
    (
        "a chemistry with a curve",
        "une chimie dont la courbe existe",
    ),
    (
        "get the maker's own table of rested cell voltages",
        "se procurer la table du fabricant des tensions de cellules au repos",
    ),
    (
        "sound or suspect, as somebody judged it",
        "sain ou suspect, selon quelqu'un qui l'a jugé",
    ),
    (
        "leave the charge in it: treat it as full, and let a specialist decide",
        "y laisser la charge : le traiter comme plein et laisser décider un spécialiste",
    ),
    ("{} °C at most", "{} °C au plus"),
    ("{} °C at least", "{} °C au moins"),
    (
        "bring it to a warmer place and let it warm through, then read again",
        "le porter dans un endroit plus chaud et le laisser se réchauffer, puis mesurer à nouveau",
    ),
    (
        "step away and watch it; it is read again when it has cooled",
        "s'éloigner et surveiller ; on mesure à nouveau quand il a refroidi",
    ),
    ("no finding that shuts it out", "aucun constat qui l'exclut"),
    (
        "`{}` is {}; the sum holds for {}",
        "`{}` est {} ; le calcul vaut pour {}",
    ),
    (
        "no more than the {} % of {} Ah that it began with: the count, the starting point or the capacity is wrong",
        "pas plus que les {} % de {} Ah du départ : le comptage, le point de départ ou la capacité est faux",
    ),
    ("1 to 1000 cells in series", "1 à 1000 cellules en série"),
    (
        "one value for each of `cells`",
        "une valeur pour chacune de `cells`",
    ),
    (
        "not above cell_voltage_highest_v",
        "pas au-dessus de cell_voltage_highest_v",
    ),
    // A state of charge that is not proven.
    (
        "a finding says that a cell is outside its limits: its voltage does not count",
        "un constat dit qu'une cellule est hors de ses limites : sa tension ne compte pas",
    ),
    (
        "{} V nominal over {} cells is {} V a cell, and cells of this chemistry have {} to {} V (from memory): chemistry or number of cells is wrong; the voltage does not count",
        "{} V nominaux sur {} cellules font {} V par cellule, et les cellules de cette chimie ont {} à {} V (de mémoire) : la chimie ou le nombre de cellules est faux ; la tension ne compte pas",
    ),
    (
        "the number of cells in series is not known: the voltage does not count",
        "le nombre de cellules en série n'est pas connu : la tension ne compte pas",
    ),
    (
        "the reading of {} does not count: {}",
        "la mesure du {} ne compte pas : {}",
    ),
    (
        "the readings of its charge contradict each other (finding {}): read every cell again with another meter, and correct what was wrong",
        "les mesures de sa charge se contredisent (constat {}) : relire chaque cellule avec un autre appareil, et corriger ce qui était faux",
    ),
    (
        "its lowest cell loses {} % a day ({}): record finding {}",
        "sa cellule la plus basse perd {} % par jour ({}) : inscrire le constat {}",
    ),
    (
        "nothing was read of its charge",
        "rien n'a été mesuré de sa charge",
    ),
    (
        "the management value is doubted by a finding and does not count",
        "la valeur du système de gestion est mise en doute par un constat et ne compte pas",
    ),
    (
        "the evidence contradicts itself: at least {} % and at most {} %; record finding F37 and read again",
        "les preuves se contredisent : au moins {} % et au plus {} % ; inscrire le constat F37 et mesurer à nouveau",
    ),
    (
        "rest: lithium iron phosphate proves nothing before {} h without current",
        "repos : le lithium fer phosphate ne prouve rien avant {} h sans courant",
    ),
    ("no voltage was read", "aucune tension n'a été mesurée"),
    (
        "a module voltage says nothing of the cells: no cell values, and their spread is not known from elsewhere",
        "une tension de module ne dit rien des cellules : pas de valeurs de cellules, et leur écart n'est pas connu par ailleurs",
    ),
    (
        "how long it rested is not known; rest it 3 h, LFP 24 h",
        "la durée du repos n'est pas connue ; laisser reposer 3 h, LFP 24 h",
    ),
    (
        "the last place of the meter is {} mV a cell: too coarse to show that it stands still within 1 mV",
        "le dernier chiffre de l'appareil vaut {} mV par cellule : trop grossier pour montrer que la tension tient à 1 mV près",
    ),
    (
        "rested {} h; 3 h at the least, or after 1 h two readings 30 min apart that differ by less than 1 mV a cell",
        "reposé {} h ; 3 h au moins, ou après 1 h deux mesures à 30 min d'intervalle qui diffèrent de moins de 1 mV par cellule",
    ),
    (
        "current is {} A; only a cell without current is rested",
        "le courant est de {} A ; seule une cellule sans courant est au repos",
    ),
    (
        "the current is not known; it must be 0 A",
        "le courant n'est pas connu ; il doit être de 0 A",
    ),
    (
        "surface is {} °C; the sum holds for 5 to 35 °C",
        "la surface est à {} °C ; le calcul vaut de 5 à 35 °C",
    ),
    (
        "the surface temperature is not known",
        "la température de surface n'est pas connue",
    ),
    ("the chemistry is not known", "la chimie n'est pas connue"),
    (
        "no published curve is good enough for this chemistry; the maker's own table is needed",
        "aucune courbe publiée n'est assez bonne pour cette chimie ; il faut la table du fabricant",
    ),
    (
        "a cell is outside its maker's limits: record the finding",
        "une cellule est hors des limites de son fabricant : inscrire le constat",
    ),
    (
        "may be as much as {} %; the limit is {} %",
        "peut aller jusqu'à {} % ; la limite est de {} %",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; discharge until the highest rested cell is at {} V or below",
        "faire l'un de ceux-ci : lire la valeur du système de gestion ; compter la charge depuis un point connu ; décharger jusqu'à ce que la cellule au repos la plus haute soit à {} V ou moins",
    ),
    (
        "do one of these: read the management system's value; count the charge from a known point; get the maker's own voltage table",
        "faire l'un de ceux-ci : lire la valeur du système de gestion ; compter la charge depuis un point connu ; se procurer la table de tensions du fabricant",
    ),
    // Figures of an arc.
    (
        "below 100 V the method is silent, which is not safe",
        "sous 100 V la méthode ne dit rien, ce qui ne veut pas dire sûr",
    ),
    // Instruments that are not in date.
    ("calibration of {}", "étalonnage : {}"),
    ("electrical test of {}", "essai électrique : {}"),
    ("clamp meter {}", "pince ampèremétrique {}"),
    ("gas meter {}", "détecteur de gaz {}"),
    ("gloves {}", "gants isolants {}"),
    ("insulated tools {}", "outils isolés {}"),
    ("insulation tester {}", "contrôleur d'isolement {}"),
    ("lifting aid {}", "aide au levage {}"),
    ("multimeter {}", "multimètre {}"),
    ("proving unit {}", "source de vérification {}"),
    ("scale {}", "balance {}"),
    ("thermal camera {}", "caméra thermique {}"),
    ("thermometer {}", "thermomètre de contact {}"),
    ("torque wrench {}", "clé dynamométrique {}"),
    ("voltage tester {}", "vérificateur de tension bipolaire {}"),
    ("voltmeter {}", "voltmètre {}"),
    (
        "within six months before {}",
        "dans les six mois avant le {}",
    ),
    ("due {}", "dû le {}"),
    ("{} or later", "{} ou plus tard"),
    (
        "take gloves that are in date; nobody on site may waive this",
        "prendre des gants dont l'essai est valable ; personne sur place ne peut y renoncer",
    ),
    (
        "take gloves with a readable test date",
        "prendre des gants dont la date d'essai est lisible",
    ),
    (
        "use an instrument that is in date, and flag what this one tested since",
        "prendre un appareil dont l'étalonnage est valable, et signaler ce que celui-ci a contrôlé depuis",
    ),
    // A package that is not accepted.
    ("package", "colis"),
    ("no", "non"),
    ("not described", "non décrit"),
    ("say what it is packed in", "dire dans quoi il est emballé"),
    (
        "the packer repacks it in what the limit names",
        "l'emballeur le remballe dans ce que nomme la limite",
    ),
    (
        "{}: a packaging with a UN mark, {} or better",
        "{} : un emballage portant une marque ONU, {} ou mieux",
    ),
    ("ask {}", "demander : {}"),
    ("packing instruction", "instruction d'emballage"),
    ("none determined", "aucune déterminée"),
    (
        "settle the decision for the battery first: see its reasons",
        "régler d'abord la décision pour la batterie : voir ses raisons",
    ),
    (
        "does it meet the approval in every point; its reader decides",
        "satisfait-il à l'agrément sur chaque point ; celui qui le lit décide",
    ),
    (
        "what is the UN mark on the packaging",
        "quelle est la marque ONU sur l'emballage",
    ),
    (
        "copy the whole mark from the packaging",
        "recopier la marque entière de l'emballage",
    ),
    (
        "S: tested for solids and inner packagings",
        "S : éprouvé pour des matières solides et des emballages intérieurs",
    ),
    (
        "ask the maker for a mark with S; a test for liquids does not cover batteries",
        "demander au fabricant une marque avec S ; une épreuve pour liquides ne couvre pas des batteries",
    ),
    ("{} with the mark {}", "{} avec la marque {}"),
    (
        "codes 50 and 51 are large packagings, all others are not",
        "les codes 50 et 51 sont de grands emballages, tous les autres non",
    ),
    ("which of the two is right", "lequel des deux est juste"),
    ("packaging code", "code d'emballage"),
    ("packing group letter", "lettre du groupe d'emballage"),
    ("{} or better", "{} ou mieux"),
    (
        "the packer repacks it in a packaging tested for the higher group",
        "l'emballeur le remballe dans un emballage éprouvé pour le groupe supérieur",
    ),
    (
        "a salvage packaging only for a package found damaged on the way",
        "un emballage de secours seulement pour un colis trouvé endommagé en route",
    ),
    ("on which day is it packed", "quel jour est-il emballé"),
    (
        "manufacture of the plastics packaging",
        "fabrication de l'emballage en plastique",
    ),
    (
        "in which month was it made: five years end this year",
        "quel mois a-t-il été fabriqué : les cinq ans finissent cette année",
    ),
    (
        "on which day was it made: five years end this month",
        "quel jour a-t-il été fabriqué : les cinq ans finissent ce mois",
    ),
    (
        "{} years from manufacture",
        "{} ans à partir de la fabrication",
    ),
    (
        "the packer repacks it in a newer one",
        "l'emballeur le remballe dans un plus récent",
    ),
    (
        "how many batteries are in it",
        "combien de batteries y a-t-il dedans",
    ),
    (
        "the packer packs each battery in an outer packaging of its own",
        "l'emballeur met chaque batterie dans un emballage extérieur à elle",
    ),
    (
        "what do the batteries in it weigh together",
        "combien pèsent ensemble les batteries dedans",
    ),
    (
        "the packer packs fewer batteries, or takes another packaging",
        "l'emballeur met moins de batteries, ou prend un autre emballage",
    ),
    (
        "what does the closed package weigh",
        "combien pèse le colis fermé",
    ),
    ("{} in the mark", "{} dans la marque"),
    (
        "the packer takes a packaging with a higher mass in its mark",
        "l'emballeur prend un emballage dont la marque a une masse plus grande",
    ),
    (
        "the inner packaging is not leak-proof: is the outer",
        "l'emballage intérieur n'est pas étanche : l'extérieur l'est-il",
    ),
    (
        "the packer puts that right and closes the package again",
        "l'emballeur y remédie et referme le colis",
    ),
    (
        "which verification report covers this package",
        "quel rapport de vérification couvre ce colis",
    ),
    (
        "what is the number of the report",
        "quel est le numéro du rapport",
    ),
    (
        "which battery types does the report name",
        "quels types de batteries le rapport nomme-t-il",
    ),
    ("{} in the report", "{} dans le rapport"),
    (
        "the packer packs no more than the report covers",
        "l'emballeur ne met pas plus que ce que couvre le rapport",
    ),
    (
        "how many batteries does the report cover",
        "combien de batteries le rapport couvre-t-il",
    ),
    ("energy in the package", "énergie dans le colis"),
    (
        "the packer takes a package verified for this energy",
        "l'emballeur prend un colis vérifié pour cette énergie",
    ),
    (
        "what rated energy in Wh does the nameplate state, and how many batteries are in it",
        "quelle énergie nominale en Wh indique la plaque, et combien de batteries y a-t-il dedans",
    ),
    (
        "what energy does the report cover",
        "quelle énergie le rapport couvre-t-il",
    ),
    (
        "what state of charge does the report cover",
        "quel état de charge le rapport couvre-t-il",
    ),
    ("highest state of charge", "état de charge le plus haut"),
    (
        "the packer takes a package verified for this state of charge",
        "l'emballeur prend un colis vérifié pour cet état de charge",
    ),
    ("mark on the package", "marque sur le colis"),
    ("not on it", "absente"),
    ("{}, at least {} mm", "{}, au moins {} mm"),
    (
        "the packer puts it on before the package is handed over",
        "l'emballeur l'appose avant que le colis soit remis",
    ),
    ("height of the mark {}", "hauteur de la marque {}"),
    (
        "the packer marks it again in larger letters",
        "l'emballeur la refait en lettres plus grandes",
    ),
    ("labels on the package", "étiquettes sur le colis"),
    ("label {}", "étiquette {}"),
    (
        "the packer puts the right label on",
        "l'emballeur appose la bonne étiquette",
    ),
    // Figures that cannot be.
    ("more than 0 kg", "plus de 0 kg"),
    (
        "weigh the battery, or read its nameplate again",
        "peser la batterie, ou relire sa plaque",
    ),
    ("more than 0 Wh", "plus de 0 Wh"),
    ("read the nameplate again", "relire la plaque"),
    ("{} to {} %", "{} à {} %"),
    (
        "from 0 to 100 %, the lowest first",
        "de 0 à 100 %, le plus bas d'abord",
    ),
    (
        "look at the readings again: which of the two is right",
        "revoir les mesures : laquelle des deux est juste",
    ),
    ("at least 1", "au moins 1"),
    (
        "count the batteries in the package",
        "compter les batteries dans le colis",
    ),
    (
        "weigh what is in the package",
        "peser ce qui est dans le colis",
    ),
    ("{}, with {} inside", "{}, avec {} dedans"),
    (
        "no less than the batteries in it",
        "pas moins que les batteries dedans",
    ),
    (
        "weigh the package again: which of the two is right",
        "peser à nouveau le colis : lequel des deux est juste",
    ),
    // What a packaging must be.
    (
        "each battery alone in an inner packaging",
        "chaque batterie seule dans un emballage intérieur",
    ),
    (
        "inner packaging encloses the battery fully",
        "l'emballage intérieur enferme entièrement la batterie",
    ),
    (
        "inner packaging is not of metal",
        "l'emballage intérieur n'est pas en métal",
    ),
    (
        "inner or outer packaging is leak-proof",
        "l'emballage intérieur ou extérieur est étanche",
    ),
    (
        "cushioning or insulation does not burn",
        "le rembourrage ou l'isolation ne brûle pas",
    ),
    (
        "cushioning or insulation does not conduct",
        "le rembourrage ou l'isolation ne conduit pas",
    ),
    ("cushioning is absorbent", "le rembourrage est absorbant"),
    (
        "inert absorbent material for a leaking battery",
        "matière absorbante inerte pour une batterie qui fuit",
    ),
    (
        "thermal insulation around the inner packaging",
        "isolation thermique autour de l'emballage intérieur",
    ),
    (
        "lining that does not conduct in a metal outer",
        "doublure non conductrice dans un emballage extérieur en métal",
    ),
    (
        "protection against short circuit",
        "protection contre les courts-circuits",
    ),
    ("secured against shifting", "calé contre tout déplacement"),
    (
        "no weight of others on the battery terminals",
        "aucun poids d'autres sur les bornes des batteries",
    ),
    // A decision that is open.
    ("edition of the rules", "édition des règles"),
    (
        "none encoded for {} by {} on {}",
        "aucune encodée pour {}, {}, le {}",
    ),
    (
        "ask the compliance officer; this rule set does not answer for it",
        "demander au chargé de conformité ; ce jeu de règles n'y répond pas",
    ),
    ("may not travel so", "ne peut pas voyager ainsi"),
    ("transport category", "catégorie de transport"),
    ("rows of this rule set", "lignes de ce jeu de règles"),
    ("none decides this case", "aucune ne tranche ce cas"),
    (
        "ask the compliance officer",
        "demander au chargé de conformité",
    ),
    (
        "counts as undiagnosed, and so as damaged",
        "compte comme non diagnosticable, et donc comme endommagé",
    ),
    (
        "two rows disagree and neither names the other",
        "deux lignes se contredisent et aucune ne nomme l'autre",
    ),
    (
        "report it; ask the compliance officer meanwhile",
        "le signaler ; en attendant demander au chargé de conformité",
    ),
    (
        "how does it travel: road, rail, sea or aircraft",
        "comment voyage-t-il : route, rail, mer ou avion",
    ),
    (
        "is an approval of a competent authority in hand, and which",
        "a-t-on un agrément d'une autorité compétente, et lequel",
    ),
    (
        "is the casing strong and impact-resistant, and can that be shown",
        "l'enveloppe est-elle solide et résistante aux chocs, et peut-on le montrer",
    ),
    (
        "which chemistry does the nameplate or the maker state",
        "quelle chimie indique la plaque ou le fabricant",
    ),
    (
        "does the battery travel alone, or with or in its equipment",
        "la batterie voyage-t-elle seule, avec son équipement ou dedans",
    ),
    (
        "what rated energy in Wh does the nameplate state",
        "quelle énergie nominale en Wh indique la plaque",
    ),
    (
        "does the energy in Wh stand on the outside of the case",
        "l'énergie en Wh est-elle marquée à l'extérieur du boîtier",
    ),
    (
        "does liquid or gas leave the battery",
        "du liquide ou du gaz sort-il de la batterie",
    ),
    (
        "when was the battery made",
        "quand la batterie a-t-elle été fabriquée",
    ),
    (
        "what does the battery weigh without packaging",
        "combien pèse la batterie sans emballage",
    ),
    ("on which day does it travel", "quel jour voyage-t-elle"),
    ("what is it packed in", "dans quoi est-elle emballée"),
    (
        "what do the batteries in the package weigh together",
        "combien pèsent ensemble les batteries du colis",
    ),
    (
        "what is the battery carried for",
        "pour quoi la batterie est-elle transportée",
    ),
    (
        "has the maker or an authority named this battery unsafe",
        "le fabricant ou une autorité a-t-il déclaré cette batterie dangereuse",
    ),
    (
        "what did the inspection find: sound, suspect, undiagnosed, damaged or critical",
        "qu'a trouvé l'inspection : sain, suspect, non diagnosticable, endommagé ou critique",
    ),
    (
        "can it still be charged or give power",
        "peut-elle encore être chargée ou fournir du courant",
    ),
    (
        "is there a UN 38.3 test summary for this battery as it is offered",
        "y a-t-il un résumé d'épreuve UN 38.3 pour cette batterie telle qu'elle est remise",
    ),
    (
        "was it collected from private households",
        "a-t-elle été collectée auprès de particuliers",
    ),
    (
        "is the casing of a single cell breached",
        "le boîtier d'une cellule est-il rompu",
    ),
    (
        "what is the state of charge, lowest and highest",
        "quel est l'état de charge, le plus bas et le plus haut",
    ),
    (
        "does it stand on deck or under deck",
        "est-elle sur le pont ou sous le pont",
    ),
    (
        "is it a short international voyage",
        "est-ce un voyage international court",
    ),
    (
        "have the State of Origin and the State of the Operator approved it",
        "l'État d'origine et l'État de l'exploitant l'ont-ils approuvé",
    ),
    (
        "has the State of Origin approved it",
        "l'État d'origine l'a-t-il approuvé",
    ),
    (
        "is a special permit in hand, and which",
        "a-t-on un permis spécial, et lequel",
    ),
    (
        "which agreement of states is used",
        "quel accord d'États applique-t-on",
    ),
    (
        "until when is each approval good",
        "jusqu'à quand vaut chaque agrément",
    ),
    (
        "does the battery mark show a telephone number",
        "la marque de batterie montre-t-elle un numéro de téléphone",
    ),
    ("which relief is claimed", "quelle exemption est invoquée"),
    // What the rules ask of a battery only because it is not sound.
    (
        "With a critical battery aboard there always travel the instructions in writing, a driver's certificate and photo, plates, two extinguishers and the vehicle's kit.",
        "Avec une batterie critique à bord voyagent toujours les consignes écrites, le certificat et la photo du conducteur, les panneaux, deux extincteurs et l'équipement du véhicule.",
    ),
    (
        "Damaged and waste batteries stand on deck only, unless the voyage is a short international one.",
        "Les batteries endommagées et celles qui sont des déchets sont sur le pont seulement, sauf pour un voyage international court.",
    ),
    (
        "A damaged battery that may react dangerously on the way is in transport category 0: never on a small load, and the document says so.",
        "Une batterie endommagée qui peut réagir dangereusement en route est de la catégorie de transport 0 : jamais en petite quantité, et le document le dit.",
    ),
    (
        "In the edition of 2023 a battery that may react dangerously was in transport category 0 by its special provision itself.",
        "Dans l'édition de 2023 une batterie qui peut réagir dangereusement était de la catégorie de transport 0 par sa disposition spéciale même.",
    ),
    (
        "A battery that is not plainly sound travels apart from sound ones and is watched on receipt.",
        "Une batterie qui n'est pas clairement saine voyage à l'écart des saines et est surveillée à la réception.",
    ),
    (
        "The record says who assessed the battery, by which criteria, what was found, when, and at what state of charge.",
        "Le relevé dit qui a évalué la batterie, selon quels critères, ce qui a été trouvé, quand et à quel état de charge.",
    ),
    (
        "A critical battery travels only in a package verified for its type, number, energy and state of charge; the report is at hand.",
        "Une batterie critique ne voyage que dans un colis vérifié pour son type, leur nombre, l'énergie et l'état de charge ; le rapport est disponible.",
    ),
    (
        "Before it travels as damaged but not critical, the maker's criteria or a technical expert have ruled out a dangerous reaction, in writing; otherwise it is critical.",
        "Avant qu'elle voyage comme endommagée mais non critique, les critères du fabricant ou un expert technique ont exclu par écrit une réaction dangereuse ; sinon elle est critique.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels as damaged, whatever it is carried for.",
        "Une batterie trouvée endommagée ou défectueuse, rappelée pour la sécurité ou impossible à diagnostiquer voyage comme endommagée, quel que soit le but.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material.",
        "Autour d'une batterie qui fuit il y a assez de matière absorbante inerte.",
    ),
    (
        "A battery that may react dangerously stays where it is while it heats, smokes or vents; it leaves only when the officer has released it in writing.",
        "Une batterie qui peut réagir dangereusement reste où elle est tant qu'elle chauffe, fume ou dégage du gaz ; elle ne part que lorsque le chargé de conformité l'a libérée par écrit.",
    ),
    (
        "A battery found damaged or defective, recalled for safety, or not diagnosable travels one to a packaging for packing group I, whatever it is carried for.",
        "Une batterie trouvée endommagée ou défectueuse, rappelée pour la sécurité ou impossible à diagnostiquer voyage seule dans un emballage du groupe d'emballage I, quel que soit le but.",
    ),
    (
        "Around a leaking battery there is enough inert absorbent material, and nothing leaves the package.",
        "Autour d'une batterie qui fuit il y a assez de matière absorbante inerte, et rien ne sort du colis.",
    ),
    (
        "Damaged and waste batteries are stowed as category C, on deck, unless the voyage is a short international one.",
        "Les batteries endommagées et celles qui sont des déchets sont arrimées en catégorie C, sur le pont, sauf pour un voyage international court.",
    ),
    // How the statement of a load is known.
    (
        "unannounced: nothing was stated",
        "non annoncé : rien n'a été indiqué",
    ),
    (
        "entry {} of a log of {} entries, {}",
        "entrée {} d'un registre de {} entrées, {}",
    ),
    (
        "signed with the public demo key, which proves nothing",
        "signé avec la clé publique de démonstration, qui ne prouve rien",
    ),
    ("signed by {}, trusted here", "signé par {}, reconnu ici"),
    (
        "signed by a key that is not trusted here; ask the giver for it some other way than with the load (log {})",
        "signé avec une clé non reconnue ici ; la demander au remettant autrement qu'avec le chargement (registre {})",
    ),
    ("NOT SIGNED", "NON SIGNÉ"),
    (
        "the sender's own table, columns confirmed here: not proved",
        "le propre tableau de l'expéditeur, colonnes confirmées ici : non prouvé",
    ),
    (
        "stated by the sender, without a log: not proved",
        "indiqué par l'expéditeur, sans registre : non prouvé",
    ),
];
