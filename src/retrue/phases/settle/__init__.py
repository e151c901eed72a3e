"""Money and sale: the book, own hours, what it cost, the surplus one, its record, closing.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.settle.after import (
    after_sale,
    answered,
    asked,
    due_after_sale,
    promise,
    promise_kept,
)
from retrue.phases.settle.book import (
    book,
    book_file,
    book_table,
    for_whom,
)
from retrue.phases.settle.checking import (
    check,
)
from retrue.phases.settle.closing import End, close, closed, closing, closing_file
from retrue.phases.settle.costing import (
    cost,
    cost_file,
)
from retrue.phases.settle.guarding import (
    guards,
    include,
    included_words,
)
from retrue.phases.settle.hours import (
    counted,
    hours_file,
    newest_question,
)
from retrue.phases.settle.hours_clock import (
    start,
    stop,
)
from retrue.phases.settle.hours_expected import hours
from retrue.phases.settle.hours_telling import (
    answer,
    hours_typed,
    take_back_hours,
    tell_hours,
)
from retrue.phases.settle.importing import (
    keep_import,
    read_import,
)
from retrue.phases.settle.offering import (
    Terms,
    answer_offer,
    money_in,
    offer,
)
from retrue.phases.settle.posting import (
    correct,
    expected_posting,
    one_posting,
    post,
    post_expected,
    take_back,
)
from retrue.phases.settle.rate import rate, rate_case, set_figure
from retrue.phases.settle.rates import (
    closings,
    day_rate,
    import_rates,
    kept_rates,
    lock,
)
from retrue.phases.settle.receipts import (
    RECEIPT,
    keep_receipt,
    receipt_file,
)
from retrue.phases.settle.record import (
    RecordStands,
    give,
    given,
    one_given,
    record,
    record_stands,
    refuse_open,
    sold_as_of,
    with_copies,
)
from retrue.phases.settle.record_since import since_given, since_said, superseded
from retrue.phases.settle.selling import (
    put_up,
    sale,
    sale_case,
    sale_text,
    set_sale_figure,
)
from retrue.phases.settle.sharing import look_in, share, take_in
from retrue.phases.settle.taking import offer_answered
from retrue.phases.settle.taking_back import as_before, said_of_sale
from retrue.phases.settle.versus import versus, versus_case

__all__ = [
    "RECEIPT",
    "End",
    "RecordStands",
    "Terms",
    "after_sale",
    "answer",
    "answer_offer",
    "answered",
    "as_before",
    "asked",
    "book",
    "book_file",
    "book_table",
    "check",
    "close",
    "closed",
    "closing",
    "closing_file",
    "closings",
    "correct",
    "cost",
    "cost_file",
    "counted",
    "day_rate",
    "due_after_sale",
    "expected_posting",
    "for_whom",
    "give",
    "given",
    "guards",
    "hours",
    "hours_file",
    "hours_typed",
    "import_rates",
    "include",
    "included_words",
    "keep_import",
    "keep_receipt",
    "kept_rates",
    "lock",
    "look_in",
    "money_in",
    "newest_question",
    "offer",
    "offer_answered",
    "one_given",
    "one_posting",
    "post",
    "post_expected",
    "promise",
    "promise_kept",
    "put_up",
    "rate",
    "rate_case",
    "read_import",
    "receipt_file",
    "record",
    "record_stands",
    "refuse_open",
    "said_of_sale",
    "sale",
    "sale_case",
    "sale_text",
    "set_figure",
    "set_sale_figure",
    "share",
    "since_given",
    "since_said",
    "sold_as_of",
    "start",
    "stop",
    "superseded",
    "take_back",
    "take_back_hours",
    "take_in",
    "tell_hours",
    "versus",
    "versus_case",
    "with_copies",
]
