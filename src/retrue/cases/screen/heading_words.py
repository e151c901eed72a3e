"""By what words a column of a catalogue is known, in six languages.

English, Dutch, French, German, Italian and Spanish words as catalogues and lists of machines
commonly have them: common practice, no source. Each is written without accents and marks, in small
letters, as :func:`retrue.cases.settle.bring_words.plain` makes them.
"""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import later

_WORDS: Mapping[str, tuple[str, ...]] = {
    "number": (
        "lot", "lot number", "lot no", "lot nr", "no", "nr", "number", "item no", "item number",
        "position", "pos", "item", "id",
        "lotnummer", "kavel", "kavelnummer", "kavel nr", "nummer", "volgnummer",
        "numero de lot", "n lot", "no lot", "numero", "no de lot", "n",
        "los", "losnummer", "los nr", "losnr", "lfd nr", "artikelnummer", "positionsnummer",
        "lotto", "numero lotto", "n lotto", "lote", "numero de lote", "n lote", "num",
    ),
    "title": (
        "title", "what", "machine", "item description", "lot title", "lot description", "name",
        "description", "designation", "object", "article", "equipment",
        "titel", "omschrijving", "benaming", "naam", "machines", "object omschrijving", "artikel",
        "libelle", "intitule", "titre", "objet", "nom", "descriptif court",
        "bezeichnung", "maschine", "gegenstand", "objekt", "benennung", "artikelbezeichnung",
        "titolo", "macchina", "oggetto", "denominazione", "articolo",
        "titulo", "maquina", "objeto", "denominacion", "articulo", "descripcion", "descrizione",
        "beschreibung", "beschrijving", "nombre", "nome",
    ),
    "text": (
        "details", "remarks", "remark", "notes", "comment", "comments", "specification",
        "specifications", "technical data", "further information", "more",
        "long description", "features", "description", "equipment",
        "opmerkingen", "opmerking", "bijzonderheden", "specificaties", "technische gegevens",
        "toelichting", "omschrijving", "beschrijving",
        "remarques", "remarque", "caracteristiques", "specifications techniques",
        "donnees techniques",
        "observations", "descriptif",
        "bemerkung", "bemerkungen", "technische daten", "ausstattung", "hinweis", "hinweise",
        "beschreibung", "zusatz",
        "note", "osservazioni", "caratteristiche", "dati tecnici", "specifiche", "descrizione",
        "observaciones", "notas", "caracteristicas", "datos tecnicos", "especificaciones",
        "descripcion", "detalles", "dettagli",
    ),
    "kind": (
        "type of machine", "machine type", "category", "kind", "class", "group", "sort",
        "machinetype", "soort", "soort machine", "categorie", "groep", "rubriek",
        "type de machine", "genre", "famille", "rubrique",
        "maschinentyp", "maschinenart", "art", "kategorie", "warengruppe", "gruppe", "rubrik",
        "tipo di macchina", "categoria", "tipologia", "gruppo",
        "tipo de maquina", "clase", "grupo", "familia",
    ),
    "maker": (
        "maker", "make", "brand", "manufacturer", "builder",
        "merk", "fabrikant", "bouwer", "marque", "fabricant", "constructeur",
        "hersteller", "fabrikat", "marke", "marca", "costruttore", "produttore", "fabricante",
    ),
    "model": (
        "model", "type", "model type", "typ", "modele", "modell", "modello", "modelo", "tipo",
        "type nummer", "typenummer", "typebezeichnung",
    ),
    "serial": (
        "serial", "serial number", "serial no", "serienummer", "numero de serie", "seriennummer",
        "masch nr", "maschinennummer", "matricola", "numero di serie", "n serie", "machine no",
        "machinenummer",
    ),
    "year": (
        "year", "year of manufacture", "year of construction", "built", "year built", "yom",
        "manufactured", "bouwjaar", "bj", "jaar", "jaartal", "annee", "annee de construction",
        "annee de fabrication", "an", "baujahr", "jahr", "herstellungsjahr", "anno",
        "anno di costruzione", "anno di fabbricazione", "ano", "ano de fabricacion",
        "ano de construccion",
    ),
    "age": (
        "age", "age years", "leeftijd", "ouderdom", "alter", "eta", "edad", "antiguedad",
    ),
    "asking": (
        "asking price", "asking", "price", "fixed price", "buy now", "sale price", "net price",
        "vraagprijs", "prijs", "vaste prijs", "verkoopprijs", "richtprijs",
        "prix demande", "prix", "prix fixe", "prix de vente", "prix net",
        "preis", "festpreis", "verkaufspreis", "angebotspreis", "vb", "preisvorstellung",
        "prezzo", "prezzo richiesto", "prezzo di vendita", "precio", "precio de venta",
        "precio pedido", "unit price", "price each", "stukprijs", "eenheidsprijs", "prix unitaire",
        "einzelpreis", "stuckpreis", "prezzo unitario", "precio unitario",
    ),
    "start": (
        "start price", "starting price", "starting bid", "opening bid", "minimum bid", "reserve",
        "reserve price", "limit",
        "startprijs", "startbod", "openingsbod", "minimumbod", "inzet", "inzetprijs",
        "mise a prix", "prix de depart", "enchere de depart", "mise de depart",
        "startpreis", "startgebot", "mindestgebot", "ausruf", "ausrufpreis", "limitpreis",
        "aufrufpreis",
        "prezzo base", "base d asta", "offerta minima", "prezzo di partenza",
        "precio de salida", "puja inicial", "puja minima", "precio inicial",
    ),
    "bid": (
        "current bid", "bid", "highest bid", "bid now", "last bid",
        "huidig bod", "hoogste bod", "bod", "enchere actuelle", "enchere", "offre actuelle",
        "aktuelles gebot", "gebot", "hochstgebot", "offerta attuale", "offerta", "puja actual",
        "puja",
    ),
    "estimate": (
        "estimate", "estimated value", "valuation", "market value", "expected price",
        "schatting", "geschatte waarde", "taxatie", "estimation", "valeur estimee",
        "schatzwert", "schatzpreis", "taxe", "zeitwert", "stima", "valore stimato",
        "valor estimado", "tasacion", "estimacion",
    ),
    "step": (
        "bid step", "increment", "bid increment", "biedstap", "verhoging", "increment d enchere",
        "pas d enchere", "steigerung", "bietschritt", "gebotsschritt", "steigerungsschritt",
        "rilancio", "rilancio minimo", "incremento", "incremento de puja",
    ),
    "currency": (
        "currency", "ccy", "currency code", "munt", "muntsoort", "valuta", "devise", "monnaie",
        "wahrung", "waehrung", "moneda", "divisa",
    ),
    "count": (
        "quantity", "qty", "count", "pieces", "pcs", "units", "aantal", "stuks", "hoeveelheid",
        "quantite", "qte", "nombre de pieces", "menge", "anzahl", "stuck", "stk", "quantita",
        "pezzi", "cantidad", "unidades",
    ),
    "mass_kg": (
        "weight", "mass", "weight kg", "machine weight", "gewicht", "massa", "poids", "masse",
        "peso", "maschinengewicht",
    ),
    "new_price": (
        "new price", "price new", "list price", "replacement value", "nieuwprijs", "nieuwwaarde",
        "prix neuf", "valeur a neuf", "neupreis", "neuwert", "listenpreis", "prezzo nuovo",
        "prezzo del nuovo", "precio nuevo", "valor a nuevo",
    ),
    "travel": (
        "travel", "travels", "travel xyz", "x y z", "xyz", "x y z travel", "axis travel", "strokes",
        "slag", "slagen", "verplaatsing", "bewegingen", "verplaatsingen", "course", "courses",
        "courses xyz", "verfahrweg", "verfahrwege", "arbeitsbereich", "corse", "corsa",
        "recorrido", "recorridos",
    ),
    "x": ("x", "x travel", "x axis", "travel x", "x mm", "course x", "x weg", "x slag", "corsa x",
          "recorrido x", "verfahrweg x"),
    "y": ("y", "y travel", "y axis", "travel y", "y mm", "course y", "y weg", "y slag", "corsa y",
          "recorrido y", "verfahrweg y"),
    "z": ("z", "z travel", "z axis", "travel z", "z mm", "course z", "z weg", "z slag", "corsa z",
          "recorrido z", "verfahrweg z"),
    "diameter": (
        "turning diameter", "max diameter", "diameter", "swing", "draaidiameter",
        "diametre de tournage", "diametre", "drehdurchmesser", "durchmesser",
        "diametro di tornitura", "diametro", "diametro torneable",
    ),
    "length": (
        "turning length", "between centres", "between centers", "draailengte",
        "tussen de centers", "longueur de tournage", "entre pointes", "drehlange", "spitzenweite",
        "lunghezza di tornitura", "distanza punte", "longitud torneable", "entre puntos",
    ),
    "load_kg": (
        "table load", "load", "max load", "tafelbelasting", "belasting", "charge table",
        "charge admissible", "tischbelastung", "carico tavola", "carga mesa", "carga",
    ),
    "taper": (
        "taper", "spindle taper", "tool holder", "conus", "gereedschapopname", "opname", "cone",
        "cone de broche", "aufnahme", "werkzeugaufnahme", "cono", "cono mandrino",
        "cono del husillo",
    ),
    "bar_mm": (
        "bar", "bar capacity", "bar diameter", "spindle bore", "stafdoorlaat", "doorlaat",
        "passage de barre", "passage barre", "stangendurchlass", "stangendurchmesser",
        "passaggio barra", "paso de barra",
    ),
    "speed_rpm": (
        "speed", "spindle speed", "rpm", "max speed", "toerental", "omwentelingen", "vitesse",
        "vitesse de broche", "tours min", "drehzahl", "spindeldrehzahl", "u min",
        "giri", "giri mandrino", "velocita", "revoluciones", "velocidad",
    ),
    "tolerance_mm": (
        "accuracy", "tolerance", "nauwkeurigheid", "precision", "genauigkeit", "precisione",
        "precision mm", "exactitud",
    ),
    "width_mm": ("width", "breedte", "largeur", "breite", "larghezza", "ancho", "anchura"),
    "height_mm": ("height", "hoogte", "hauteur", "hohe", "hoehe", "altezza", "alto", "altura"),
    "dimensions": (
        "dimensions", "dimension", "outer size", "size", "footprint", "l x w x h", "lxwxh",
        "afmetingen", "maten", "l x b x h", "lxbxh", "lbh",
        "abmessungen", "abmessung", "masse", "maschinenmasse", "platzbedarf", "masse lxbxh",
        "encombrement", "l x l x h", "lxlxh", "dimensioni", "ingombro", "ingombri",
        "dimensiones", "medidas", "l x a x h", "lxaxh",
    ),
    "control": (
        "control", "cnc", "cnc control", "besturing", "commande", "commande numerique",
        "steuerung", "cnc steuerung", "controllo", "controllo numerico", "control numerico",
    ),
    "condition": (
        "condition", "state", "working order", "under power", "staat", "toestand", "conditie",
        "etat", "zustand", "stato", "condizione", "condizioni", "estado", "condicion",
    ),
    "location": (
        "location", "place", "site", "city", "country", "where", "waar", "wo", "dove", "donde",
        "locatie", "plaats", "standplaats", "land",
        "lieu", "emplacement", "ville", "pays", "standort", "ort", "luogo", "ubicazione", "sede",
        "lugar", "ubicacion", "ciudad", "hall", "halle",
    ),
    "distance_km": (
        "distance", "distance km", "km", "afstand", "afstand km", "entfernung", "distanza",
        "distancia",
    ),
    "premium": (
        "premium", "buyer s premium", "buyers premium", "opgeld", "veilingkosten",
        "frais acheteur", "frais de vente", "frais", "aufgeld", "kauferaufgeld", "kaeuferaufgeld",
        "diritti d asta", "commissione", "comision", "prima del comprador",
    ),
    "tax": (
        "tax", "vat", "gst", "sales tax", "tax rate", "vat rate", "btw", "btw tarief", "tva",
        "taux tva", "mwst", "ust", "steuersatz", "iva", "aliquota iva",
    ),
    "closes_at": (
        "closing time", "closes", "closing", "end date", "ends", "end", "closing date",
        "sluit", "sluiting", "sluitingstijd", "einde", "sluitingsdatum",
        "cloture", "date de cloture", "fin", "fin de vente",
        "ende", "auktionsende", "endet", "schluss", "zuschlag",
        "chiusura", "fine asta", "scadenza", "cierre", "fecha de cierre", "fin de subasta",
    ),
    "removal_by": (
        "removal by", "removal", "collection", "collection by", "pick up", "pick up by",
        "ophalen", "afhalen voor", "ophaaldatum", "afhaling", "enlevement", "enlevement avant",
        "date d enlevement", "retrait", "abholung", "abholung bis", "demontage bis", "ritiro",
        "ritiro entro", "recogida", "retirada",
    ),
    "loader_fee": (
        "loading", "loading fee", "loading cost", "handling", "laadkosten", "opladen",
        "frais de chargement", "chargement", "verladung", "verladekosten", "beladung",
        "costi di carico", "carico", "carga en camion", "gastos de carga",
    ),
    "seller": (
        "seller", "owner", "consignor", "verkoper", "eigenaar", "vendeur", "proprietaire",
        "verkaufer", "einlieferer", "eigentumer", "venditore", "proprietario", "vendedor",
    ),
    "status": (
        "status", "sold", "availability", "verkocht", "beschikbaarheid", "statut",
        "disponibilite", "verfugbarkeit", "verfugbar", "disponibilita", "disponibilidad",
    ),
    "picture": (
        "photo", "photos", "picture", "pictures", "image", "images", "link", "url", "foto",
        "fotos", "afbeelding", "bild", "bilder", "immagine", "imagen",
    ),
}  # fmt: skip

ROLES: Mapping[str, tuple[str, ...]] = {
    role: (*words, *{role.replace("_", " ")}.difference(words)) for role, words in _WORDS.items()
}
"""Role to the words of its heading, its own name the last; of equals the role that stands first."""

ROLE_WORDS: Mapping[str, str] = {
    "number": later("number of the lot"),
    "title": later("what it is"),
    "text": later("more about it"),
    "kind": later("type of machine"),
    "maker": later("maker"),
    "model": later("model"),
    "serial": later("serial number"),
    "year": later("year of make"),
    "age": later("age in years"),
    "asking": later("price asked"),
    "start": later("lowest first bid"),
    "bid": later("bid now"),
    "estimate": later("what the seller expects"),
    "step": later("bid step"),
    "currency": later("currency"),
    "count": later("how many"),
    "mass_kg": later("mass"),
    "new_price": later("price of a new one"),
    "travel": later("travels"),
    "x": later("travel {axis}", axis="X"),
    "y": later("travel {axis}", axis="Y"),
    "z": later("travel {axis}", axis="Z"),
    "diameter": later("turning diameter"),
    "length": later("turning length"),
    "load_kg": later("load"),
    "taper": later("taper"),
    "bar_mm": later("bar through the spindle"),
    "speed_rpm": later("spindle speed"),
    "tolerance_mm": later("accuracy"),
    "width_mm": later("width"),
    "height_mm": later("height"),
    "dimensions": later("outer size"),
    "control": later("control"),
    "condition": later("condition"),
    "location": later("where it stands"),
    "distance_km": later("distance"),
    "premium": later("buyer's premium"),
    "tax": later("rate of tax"),
    "closes_at": later("when it closes"),
    "removal_by": later("when it must be gone"),
    "loader_fee": later("what loading costs"),
    "seller": later("seller"),
    "status": later("sold or not"),
    "picture": later("picture"),
}
"""A role in the words of a page."""

NOT_READ = frozenset({"maker", "model", "serial", "estimate", "condition", "location", "picture"})
"""Roles that are known and move no price."""

MONEY = ("asking", "start", "bid", "step", "new_price", "loader_fee")
SIZES = ("mass_kg", "load_kg", "bar_mm", "speed_rpm", "tolerance_mm", "width_mm", "height_mm",
         "diameter", "length", "x", "y", "z")  # fmt: skip
COUNTED = frozenset({*MONEY, *SIZES, "year", "age", "count", "distance_km", "premium", "tax",
                     "estimate"})  # fmt: skip
"""Roles whose cells hold digits."""
