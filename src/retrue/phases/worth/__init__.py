"""What to pay: the deeds of the first phase. Doors call these and nothing below them.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` is the id of the lot's first record or the lot's name; ``machine`` is the
id of the machine's first record or its name in the lot. ``kinds`` is the mapping of the library.
"""

from retrue.phases.worth.call import CallLine, answer_call, call_sheet
from retrue.phases.worth.close import dangers, freeze, frozen, outcome, overtype
from retrue.phases.worth.judge import (
    Judged,
    keep_finding,
    keep_findings,
    price,
    withdraw,
)
from retrue.phases.worth.looks import CANT_TELL, NOTHING_BAD, Answer, Look
from retrue.phases.worth.lots import (
    LotView,
    add_machine,
    case_of,
    correct,
    find_lot,
    keep_shop,
    lots,
    machine_of,
    my_shop,
    new_lot,
    view_lot,
)
from retrue.phases.worth.pictures import (
    Proved,
    keep_picture,
    keep_pictures,
    next_picture,
    picture,
    pictures,
    sort_picture,
)
from retrue.phases.worth.plate import PlateLine, keep_plate, plate_sheet
from retrue.phases.worth.seller import LANGUAGES, questions_for_seller
from retrue.phases.worth.taps import tap
from retrue.phases.worth.visit import (
    VisitAnswer,
    VisitLine,
    VisitPack,
    keep_visit,
    open_visit,
    visit_pack,
)

__all__ = [
    "CANT_TELL",
    "LANGUAGES",
    "NOTHING_BAD",
    "Answer",
    "CallLine",
    "Judged",
    "Look",
    "LotView",
    "PlateLine",
    "Proved",
    "VisitAnswer",
    "VisitLine",
    "VisitPack",
    "add_machine",
    "answer_call",
    "call_sheet",
    "case_of",
    "correct",
    "dangers",
    "find_lot",
    "freeze",
    "frozen",
    "keep_finding",
    "keep_findings",
    "keep_picture",
    "keep_pictures",
    "keep_plate",
    "keep_shop",
    "keep_visit",
    "lots",
    "machine_of",
    "my_shop",
    "new_lot",
    "next_picture",
    "open_visit",
    "outcome",
    "overtype",
    "picture",
    "pictures",
    "plate_sheet",
    "price",
    "questions_for_seller",
    "sort_picture",
    "tap",
    "view_lot",
    "visit_pack",
    "withdraw",
]
