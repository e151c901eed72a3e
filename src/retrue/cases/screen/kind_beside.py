"""Words beside the name of a machine that settle a doubt or part two things, in six languages.

Common practice, no source; written as those of :mod:`retrue.cases.screen.kind_words`.
"""

from __future__ import annotations

CNC_WORDS = ("cnc", "nc", "c n c", "numerically controlled", "a commande numerique",
             "numerisch gesteuert", "a controllo numerico", "de control numerico")  # fmt: skip
"""Words that say no more than that a machine has a numerical control."""

WITH = ("with", "incl", "including", "plus", "met", "inclusief", "avec", "y compris", "mit",
        "inkl", "einschl", "samt", "nebst", "con", "compreso", "incluso",
        "incluido", "w")  # fmt: skip
"""Words after which only what goes with it is named."""

FOR = ("for", "voor", "pour", "fur", "fuer", "per", "para", "zu")
"""Words after which only what it belongs to is named."""

FROM = ("from", "off", "ex", "uit", "aus")
"""Words after which it is told where it comes from."""

BY_HAND = ("manual", "conventional", "manually", "dro", "digital readout", "handbediend",
           "manueel", "conventioneel", "conventionele", "uitlezing", "digitale uitlezing",
           "manuel", "manuelle", "conventionnel", "conventionnelle", "visualisation",
           "konventionell", "konventionelle", "handbedient", "digitalanzeige",
           "positionsanzeige", "manuale", "tradizionale", "visualizzatore", "convencional",
           "visualizador")  # fmt: skip
"""Words that say that a lathe or a mill is worked by hand."""

SLANT = ("slant bed", "slantbed", "schuinbed", "schuin bed", "banc incline", "schragbett",
         "schraegbett", "bancale inclinato", "bancada inclinada")  # fmt: skip
"""Words that only a numerically controlled lathe has."""

UPRIGHT_WORDS = ("vertical", "verticaal", "verticale", "vertikal", "vertikale", "vertikales",
                 "senkrecht", "senkrechtes", "verticali", "verticales")  # fmt: skip
LYING_WORDS = ("horizontal", "horizontaal", "horizontale", "horizontales", "waagerecht",
               "waagrecht", "orizzontale", "orizzontali", "horizontales")  # fmt: skip

JOINS = (",", ";", "/", "+", "&", "|", " and ", " en ", " et ", " und ", " e ", " y ",
         " sowie ", " as well as ", " alsook ", " ainsi que ", " oltre a ", " - ",
         " \u2013 ")  # fmt: skip
"""What stands between two things of one lot."""
