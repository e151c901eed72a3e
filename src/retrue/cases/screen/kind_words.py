"""What a line of a catalogue is: words for machines and for other things, in six languages.

Common practice, no source. Each word is written without accents and marks, in small letters. A word
that begins with a star may be the end of a longer one, as German and Dutch join them; endings of
the plural need not be written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from retrue.base.say import later

Sure = Literal["known", "likely", "stand_in", "by_hand", "other_machine", "thing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sense:
    """What some words mean.

    Attributes
    ----------
    sure : str
        known: of this kind; likely: of this kind, and a doubt remains; stand_in: of a kind this
        house does not know, the nearest stands in; by_hand, other_machine: a machine that no kind
        here is like; thing: no machine.
    kind : str
        Id; empty where there is none.
    what : str
        In words: what it is, or why it is doubted.
    """

    sure: Sure
    kind: str
    what: str


V, L, K, G = "vertical_machining_centre", "turning_centre", "milling_machine", "surface_grinder"

LATHE = Sense(sure="stand_in", kind=L,
              what=later("a lathe; nothing says that it has a numerical control"))  # fmt: skip
MILL = Sense(sure="likely", kind=K,
             what=later("a mill; nothing says that it has a numerical control"))  # fmt: skip
CENTRE = Sense(sure="likely", kind=V,
               what=later("a machining centre; nobody says that it stands upright, most "
                          "do"))  # fmt: skip
CNC_MILL = Sense(sure="likely", kind=V,
                 what=later("a numerically controlled mill, taken as a machining "
                            "centre"))  # fmt: skip
HORIZONTAL = Sense(sure="stand_in", kind=V, what=later("a horizontal machining centre"))
UPRIGHT = Sense(sure="known", kind=V, what=later("a vertical machining centre"))
TURNING = Sense(sure="known", kind=L, what=later("a turning centre"))
HAND_MILL = Sense(sure="known", kind=K, what=later("a bed or knee mill"))
HAND_LATHE = Sense(sure="by_hand", kind="", what=later("a lathe worked by hand"))
BELONGS = Sense(sure="thing", kind="", what=later("a part of a machine, or for one"))
ANY_CNC = Sense(sure="stand_in", kind=V,
                what=later("a machine with a numerical control; nobody says of which "
                           "sort"))  # fmt: skip

SENSES: Sequence[tuple[Sense, str]] = (
    # Machines of a kind that is not known here, numerically controlled: the nearest stands in.
    (
        HORIZONTAL,
        "horizontal machining centre; horizontal machining center; horizontal mill; "
        "horizontaal bewerkingscentrum; horizontale bewerkingscentra; "
        "centre d usinage horizontal; centre horizontal; horizontal bearbeitungszentrum; "
        "horizontalbearbeitungszentr; horizontalbearbeitungszentrum; "
        "horizontales bearbeitungszentrum; centro di lavoro orizzontale; "
        "centri di lavoro orizzontali; centro de mecanizado horizontal; hmc",
    ),
    (
        Sense(sure="stand_in", kind=V, what=later("a five-axis machining centre")),
        "5 axis machining centre; 5 axis machining center; five axis machining centre; 5 axis; "
        "5 axes; 5 assen; 5 assig; 5 achs; 5 achsen; 5 assi; 5 ejes; funfachs; fiveaxis; 5achs; "
        "5 axis mill",
    ),
    (
        Sense(sure="stand_in", kind=V, what=later("a boring mill")),
        "boring mill; horizontal boring; borer; jig borer; boring and milling machine; "
        "horizontal boring and milling machine; boring machine; horizontal boring machine; "
        "kotterbank; kottermachine; kotteren; aleseuse; aleseuse fraiseuse; *bohrwerk; "
        "bohr und fraswerk; kotter freesbank; alesatrice; kotterfreesbank; mandrinadora",
    ),
    (
        Sense(sure="stand_in", kind=V, what=later("a gantry or portal mill")),
        "gantry mill; portal mill; bridge mill; double column; gantry; *portalfrasmaschine; "
        "portaalfreesmachine; fraiseuse portique; portique; fresatrice a portale; "
        "fresadora puente; fresadora portico; doppelstander; *portalfraese",
    ),
    (
        Sense(sure="stand_in", kind=V, what=later("a drilling and tapping centre")),
        "drilling centre; drilling center; tapping centre; tapping center; drill tap centre; "
        "drill tap center; drill tap; cnc drilling machine; cnc drill; boor tapcentrum; "
        "tapcentrum; cnc boormachine; centre de percage; perceuse cnc; bohrzentrum; "
        "cnc bohrmaschine; centro di foratura; trapano cnc; centro de taladrado; taladro cnc",
    ),
    (
        Sense(sure="stand_in", kind=V, what=later("a router")),
        "cnc router; cnc bovenfrees; cnc portaalfrees; defonceuse cnc; defonceuse numerique; "
        "cnc oberfrase; pantografo cnc; fresadora router",
    ),
    (
        Sense(sure="stand_in", kind=L, what=later("a turn-mill centre")),
        "turn mill; mill turn; multitasking; turn mill centre; turning and milling centre; "
        "turning and milling center; draai freescentrum; draaifreescentrum; draai frees; "
        "tour fraiseur; dreh fraszentrum; *drehfraszentrum; dreh und fraszentrum; dreh fras; "
        "tornio fresa; "
        "centro de torneado y fresado; torno fresador",
    ),
    (
        Sense(sure="stand_in", kind=L, what=later("a vertical lathe")),
        "vertical lathe; vertical turning; vertical turret lathe; vtl; verticale draaibank; "
        "carroussel draaibank; carrousel draaibank; caroussel; tour vertical; "
        "*karusselldrehmaschine; *vertikaldrehmaschine; vertikal drehmaschine; "
        "tornio verticale; torno vertical",
    ),
    (
        Sense(sure="stand_in", kind=L, what=later("a sliding-head lathe")),
        "sliding head lathe; sliding head; swiss type lathe; swiss lathe; langdraaibank; "
        "langdraaiautomaat; decolleteuse; tour a poupee mobile; *langdrehautomat; "
        "*langdrehmaschine; tornio a fantina mobile; torno de cabezal movil; torno suizo",
    ),
    (
        Sense(sure="stand_in", kind=L, what=later("an automatic lathe")),
        "automatic lathe; turning automat; multi spindle lathe; draaiautomaat; "
        "tour automatique; *drehautomat; tornio automatico; tornio plurimandrino; "
        "torno automatico; mehrspindler",
    ),
    (
        Sense(sure="stand_in", kind=G, what=later("a cylindrical grinder")),
        "cylindrical grinder; cylindrical grinding; universal grinder; internal grinder; "
        "centreless grinder; centerless grinder; rondslijpmachine; rondslijpbank; "
        "centerloze slijpmachine; rectifieuse cylindrique; rectifieuse universelle; "
        "*rundschleifmaschine; *innenschleifmaschine; *spitzenlosschleifmaschine; "
        "rettificatrice cilindrica; rettifica per cilindrici; rettificatrice universale; "
        "rettificatrice per tondi; rectificadora cilindrica; rectificadora universal",
    ),
    (
        Sense(sure="stand_in", kind=G, what=later("a tool grinder")),
        "tool grinder; tool and cutter grinder; cutter grinder; gereedschapslijpmachine; "
        "gereedschapsslijpmachine; affuteuse; *werkzeugschleifmaschine; affilatrice; "
        "afiladora de herramientas; afiladora",
    ),
    # The kinds that are known here.
    (
        UPRIGHT,
        "vertical machining centre; vertical machining center; vertical machining centres; vmc; "
        "verticaal bewerkingscentrum; verticale bewerkingscentra; bed type machining centre; "
        "centre d usinage vertical; centres d usinage verticaux; "
        "vertikales bearbeitungszentrum; senkrechtes bearbeitungszentrum; "
        "vertikal bearbeitungszentrum; *vertikalbearbeitungszentrum; "
        "*senkrechtbearbeitungszentrum; vertikale bearbeitungszentren; "
        "centro di lavoro verticale; centri di lavoro verticali; centro de mecanizado vertical; "
        "centros de mecanizado verticales; vmc 3 axis",
    ),
    (
        TURNING,
        "turning centre; turning center; cnc lathe; cnc turning; slant bed lathe; "
        "slant bed turning; cnc turning machine; draaicentrum; draaicentra; cnc draaibank; "
        "cnc draaimachine; cnc draai; schuinbed draaibank; schuinbeddraaibank; "
        "centre de tournage; centres de tournage; tour cnc; tour a commande numerique; "
        "tour numerique; tours cnc; tour cn; *drehzentrum; drehzentren; *cnc drehmaschine; "
        "cnc drehbank; *schragbettdrehmaschine; schragbett drehmaschine; tornio cnc; torni cnc; "
        "tornio a controllo numerico; tornio cn; centro di tornitura; centri di tornitura; "
        "torno cnc; tornos cnc; torno de control numerico; centro de torneado; "
        "centros de torneado",
    ),
    (
        HAND_MILL,
        "knee mill; turret mill; bed mill; universal milling machine; manual milling machine; "
        "conventional milling machine; toolroom mill; universele freesmachine; "
        "universele freesbank; consolefreesmachine; bedfreesmachine; kniefreesmachine; "
        "gereedschapsfreesmachine; conventionele freesmachine; fraiseuse universelle; "
        "fraiseuse conventionnelle; fraiseuse a console; fraiseuse d outilleur; "
        "fraiseuse d outillage; "
        "fraiseuse a banc fixe; *universalfrasmaschine; universal frasmaschine; "
        "*konsolfrasmaschine; *bettfrasmaschine; *werkzeugfrasmaschine; "
        "konventionelle frasmaschine; fresatrice universale; fresatrice a mensola; "
        "fresatrice a torretta; fresatrice manuale; fresatrice tradizionale; "
        "fresadora universal; fresadora de torreta; fresadora manual; fresadora convencional; "
        "bed or knee mill; mill drill; milling and drilling machine; fras und bohrmaschine",
    ),
    (
        Sense(sure="known", kind=G, what=later("a surface grinder")),
        "surface grinder; surface grinding machine; vlakslijpmachine; vlakslijpbank; "
        "vlakslijper; rectifieuse plane; rectifieuse de surfaces planes; *flachschleifmaschine; "
        "flach schleifmaschine; *planschleifmaschine; rettificatrice tangenziale; "
        "rettificatrice piana; rettificatrice per piani; rettifica tangenziale; "
        "rectificadora plana; rectificadora tangencial; rectificadora de superficies; "
        "rectificadora planeadora",
    ),
    # Words that leave a doubt.
    (
        CENTRE,
        "baz; machining centre; machining center; bewerkingscentrum; bewerkingscentra; "
        "centre d usinage; centres d usinage; *bearbeitungszentrum; bearbeitungszentren; "
        "centro di lavoro; centri di lavoro; centro de mecanizado; centros de mecanizado; "
        "centro usinagem",
    ),
    (
        CNC_MILL,
        "cnc mill; cnc milling machine; cnc milling; cnc freesmachine; cnc freesbank; "
        "cnc frees; fraiseuse cnc; fraiseuse a commande numerique; fraiseuse numerique; "
        "fraiseuse cn; *cnc frasmaschine; cnc frase; cnc fraese; cnc fraesmaschine; "
        "fresatrice cnc; fresatrici cnc; fresatrice a controllo numerico; fresatrice cn; "
        "fresadora cnc; fresadoras cnc; fresadora de control numerico",
    ),
    (
        MILL,
        "mill; milling machine; freesmachine; freesbank; fraiseuse; *frasmaschine; "
        "*fraesmaschine; fresatrice; fresatrici; fresadora",
    ),
    (
        Sense(sure="likely", kind=G, what=later("a grinder; nobody says of which sort")),
        "cnc grinder; grinding machine; slijpmachine; slijpbank; rectifieuse; *schleifmaschine; "
        "rettificatrice; rettificatrici; rettifica; rectificadora",
    ),
    (
        HAND_LATHE,
        "manual lathe; conventional lathe; centre lathe; center lathe; engine lathe; "
        "bench lathe; toolroom lathe; conventionele draaibank; draaibank conventioneel; "
        "leispil draaibank; leispildraaibank; handdraaibank; tour parallele; "
        "tour conventionnel; tour d etabli; *zugspindeldrehmaschine; "
        "leit und zugspindel; lz drehmaschine; konventionelle drehmaschine; *tischdrehmaschine; "
        "*mechanikerdrehmaschine; tornio parallelo; torni paralleli; tornio manuale; "
        "tornio tradizionale; torno paralelo; tornos paralelos; torno convencional; "
        "torno manual; *spitzendrehmaschine",
    ),
    (
        LATHE,
        "lathe; turning machine; draaibank; draaimachine; tour; *drehmaschine; *drehbank; "
        "tornio; torni; torno",
    ),
    # Machines that no kind here is like.
    (
        Sense(sure="other_machine", kind="", what=later("a spark eroder")),
        "edm; wire edm; spark eroder; spark erosion; sinker edm; wire eroder; vonkmachine; "
        "vonkerosie; draadvonkmachine; draadvonk; zinkvonk; electroerosion; electro erosion; "
        "*erodiermaschine; *drahterodiermaschine; *senkerodiermaschine; *erodieren; "
        "elettroerosione; elettroerosione a filo; electroerosion por hilo",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a saw")),
        "saw; band saw; bandsaw; cold saw; circular saw; chop saw; zaag; *zaagmachine; "
        "lintzaag; afkortzaag; cirkelzaag; scie; scie a ruban; scie circulaire; sage; "
        "*bandsage; *kreissage; *metallsage; *kaltkreissage; *sagemaschine; sega; segatrice; "
        "sega a nastro; sierra; sierra de cinta; tronzadora; tronconneuse",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a drill")),
        "drill; drill press; pillar drill; column drill; bench drill; radial drill; "
        "radial drilling machine; drilling machine; boormachine; kolomboormachine; "
        "*boormachine; tafelboormachine; radiaalboormachine; perceuse; perceuse a colonne; "
        "perceuse radiale; *bohrmaschine; *standerbohrmaschine; *saulenbohrmaschine; "
        "*radialbohrmaschine; trapano; trapano a colonna; trapano radiale; taladro; "
        "taladro de columna; taladro radial",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a machine for sheet metal")),
        "press brake; plasma table; cnc plasma; shear; guillotine; sheet metal; bending machine; "
        "folding machine; "
        "punching; laser cutter; laser cutting; plasma cutter; kantpers; plaatschaar; "
        "plooibank; zetbank; *lasersnijmachine; ponsmachine; presse plieuse; plieuse; cisaille; "
        "decoupe laser; *abkantpresse; *tafelschere; *blechschere; *biegemaschine; "
        "*laserschneidanlage; *stanzmaschine; pressa piegatrice; piegatrice; cesoia; plegadora; "
        "cizalla; guillotina; punzonadora",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a press")),
        "press; hydraulic press; arbor press; eccentric press; pers; hydraulische pers; "
        "excenterpers; presse; presse hydraulique; hydraulikpresse; exzenterpresse; "
        "*werkstattpresse; pressa; prensa; prensa hidraulica",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a machine for welding")),
        "welder; welding machine; welding set; welding; *lasapparaat; lastoestel; lasmachine; "
        "poste a souder; soudeuse; *schweissgerat; *schweissanlage; *schweissmaschine; "
        "saldatrice; soldadora; equipo de soldadura",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a bench or belt grinder")),
        "bench grinder; pedestal grinder; belt grinder; belt sander; linisher; "
        "tafelslijpmachine; werkbankslijpmachine; kolomslijpmachine; bandschuurmachine; "
        "dubbele slijpsteen; touret; touret a meuler; ponceuse; *doppelschleifer; *schleifbock; "
        "*bandschleifer; *bandschleifmaschine; smerigliatrice; molatrice; angle grinder; "
        "haakse slijper; meuleuse d angle; winkelschleifer; smerigliatrice angolare; amoladora; "
        "levigatrice; esmeriladora; lijadora",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a machine for shaping or gear cutting")),
        "shaper; slotter; slotting machine; gear hobber; gear hobbing; hobbing machine; "
        "broaching; honing machine; lapping machine; schaafbank; steekbank; "
        "tandwielfreesmachine; etau limeur; mortaiseuse; tailleuse d engrenages; "
        "*stossmaschine; *hobelmaschine; *honmaschine; *walzfrasmaschine; *abwalzfrasmaschine; "
        "*raummaschine; limatrice; stozzatrice; dentatrice; limadora; mortajadora",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a machine for plastics")),
        "injection moulding machine; injection molding machine; injection moulder; "
        "spuitgietmachine; "
        "*spritzgiessmaschine; *spritzgussmaschine; presse a injecter; pressa ad iniezione; "
        "inyectora; extruder; *extruder",
    ),
    (
        Sense(sure="other_machine", kind="", what=later("a measuring machine")),
        "measuring machine; cmm; profile projector; height gauge; meetmachine; meetbank; "
        "profielprojector; machine a mesurer; projecteur de profil; *messmaschine; "
        "*profilprojektor; *hohenmessgerat; macchina di misura; proiettore di profili; "
        "maquina de medir; tridimensional",
    ),
    # What is no machine tool.
    (
        Sense(sure="thing", kind="", what=later("a cabinet, rack or shelf")),
        "cabinet; tool cabinet; tooling cabinet; cupboard; rack; racking; shelf; shelving; "
        "shelves; locker; drawer unit; "
        "drawers; *kast; *kasten; rek; rekken; *magazijnrek; stelling; *stelling; legbord; "
        "ladenkast; lockers; armoire; etagere; rayonnage; casier; *schrank; *schranke; *regal; "
        "*regale; spind; armadio; armadi; armadietto; scaffale; scaffalatura; scaffali; "
        "cassettiera; armario; estanteria; taquilla; cajonera",
    ),
    (
        Sense(sure="thing", kind="", what=later("a bench or table")),
        "bench; workbench; table; surface plate; chair; stool; desk; *werkbank; *werkbanken; "
        "*tafel; *tafels; vlakplaat; vlaktafel; *stoel; *stoelen; bureau; krukken; etabli; "
        "marbre; chaise; tabouret; tisch; tische; *werktisch; *schweisstisch; *arbeitstisch; "
        "*messplatte; anreissplatte; *stuhl; *stuhle; banco da lavoro; banco di lavoro; "
        "banchi da lavoro; tavolo; tavoli; sedia; sedie; piano di riscontro; banco de trabajo; "
        "bancos de trabajo; mesa; mesas; silla; sillas; marmol; bancs",
    ),
    (
        Sense(sure="thing", kind="", what=later("lifting or transport gear")),
        "forklift; fork lift; fork lift truck; stacker; pallet truck; pallet; crane; hoist; "
        "trolley; truck; lift; chain hoist; jib crane; skates; heftruck; *heftruck; stapelaar; "
        "palletwagen; transpallet; kraan; *bovenloopkraan; takel; wagen; *gereedschapswagen; "
        "kar; karren; hefbrug; chariot elevateur; chariot; gerbeur; grue; palan; potence; "
        "*stapler; *hubwagen; kran; *hallenkran; *kettenzug; *werkzeugwagen; transpalette; "
        "carrello elevatore; carrello; carrelli; muletto; paranco; gru; carretilla; "
        "carretilla elevadora; transpaleta; polipasto; grua; carro",
    ),
    (
        Sense(sure="thing", kind="", what=later("tools, clamping or spare parts")),
        "vice; vise; chuck; tooling; tools; tool; tool holder; toolholder; holders; collet; "
        "collets; end mill; end mills; cutters; milling cutter; drills; taps; inserts; clamps; "
        "clamping; rotary table; dividing head; bar feeder; tailstock; steady; spare part; "
        "spare parts; spares; accessories; gauge; gauges; micrometer; micrometers; caliper; "
        "calipers; hand tools; *klauwplaat; bankschroef; *bankschroef; machineklem; *klem; "
        "*klemmen; gereedschap; *gereedschap; *gereedschappen; *houder; *houders; spantang; "
        "spantangen; frezen; boren; wisselplaten; draaitafel; verdeelkop; stangenlader; "
        "staflader; toebehoren; wisselstukken; onderdelen; meetgereedschap; schuifmaat; "
        "schuifmaten; etau; mandrin; mandrins; outillage; outils; outil; porte outil; "
        "porte outils; pince; pinces; fraises; forets; plaquettes; diviseur; plateau tournant; "
        "ravitailleur; embarreur; accessoires; pieces detachees; pied a coulisse; micrometre; "
        "*schraubstock; *schraubstocke; *futter; *spannfutter; *drehfutter; *werkzeug; "
        "*werkzeuge; *werkzeughalter; *spannzange; *spannzangen; *fraser; *bohrer; "
        "wendeplatten; *wendeschneidplatte; *rundtisch; *teilapparat; zubehor; *ersatzteil; "
        "*ersatzteile; *messmittel; messschieber; morsa; morse; mandrino; autocentrante; "
        "utensili; utensile; attrezzatura; attrezzi; portautensili; pinza; pinze; frese; punte; "
        "inserti; divisore; tavola girevole; caricatore barre; accessori; ricambi; "
        "pezzi di ricambio; calibro; calibri; micrometro; tornillo de banco; mordaza; mordazas; "
        "plato; plato de garras; herramienta; herramientas; utillaje; portaherramientas; "
        "pinzas; fresas; brocas; plaquitas; plato divisor; divisor; alimentador de barras; "
        "accesorios; recambios; repuestos; calibre; calibres",
    ),
    (
        Sense(sure="thing", kind="", what=later("air, power, cleaning or filtering gear")),
        "compressor; air compressor; air dryer; dryer; generator; transformer; extractor; "
        "extraction; mist collector; dust collector; vacuum cleaner; parts washer; washer; "
        "cleaner; chip conveyor; filter; pump; tank; container; skip; fan; heater; *compressor; "
        "luchtdroger; *droger; transformator; *afzuiging; *stofzuiger; *wasmachine; "
        "spanentransporteur; *pomp; olievat; bak; bakken; *container; ventilator; compresseur; "
        "secheur; transformateur; aspirateur; aspiration; fontaine; convoyeur; pompe; cuve; "
        "bac; bacs; benne; *kompressor; *trockner; *transformator; *absaugung; *sauger; "
        "*spaneforderer; *pumpe; *behalter; *kiste; *kisten; *luftreiniger; compressore; "
        "essiccatore; trasformatore; aspiratore; evacuatore trucioli; pompa; serbatoio; "
        "cassone; contenitore; compresor; secador; aspirador; aspiracion; bomba; deposito; "
        "contenedor",
    ),
    (
        Sense(sure="thing", kind="", what=later("material or goods")),
        "steel; aluminium; bar stock; material; stock; scrap; books; computer; printer; "
        "monitor; sign; lamp; lamps; clock; oil; staal; *staal; *materiaal; schroot; boeken; "
        "*computer; *printer; beeldscherm; *lamp; *lampen; klok; *olie; acier; ferraille; "
        "livres; ordinateur; imprimante; ecran; lampe; lampes; horloge; huile; stahl; *stahl; "
        "schrott; *bucher; drucker; *bildschirm; *leuchte; *leuchten; uhr; wanduhr; acciaio; "
        "alluminio; materiale; rottame; libri; stampante; lampada; orologio; olio; acero; "
        "aluminio; chatarra; libros; ordenador; impresora; lampara; reloj; aceite; scale model; "
        "model of; user manual; operating manual; instruction manual; schaalmodel; model van; "
        "handleiding; gebruiksaanwijzing; maquette; modele reduit; manuel d utilisation; "
        "modell einer; *anleitung; *handbuch; modellino; manuale d uso; maqueta; "
        "manuale di istruzioni; manual de instrucciones",
    ),
)
"""Words and what they mean."""
