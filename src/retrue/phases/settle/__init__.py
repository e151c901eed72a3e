"""Money and sale: the book, own hours, what it cost, the surplus one, its record, closing.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.settle.book import (
    book,
    book_file,
    book_table,
)
from retrue.phases.settle.checking import (
    check,
)
from retrue.phases.settle.guarding import (
    guards,
    include,
)
from retrue.phases.settle.hours import (
    counted,
    hours,
    hours_file,
    newest_question,
)
from retrue.phases.settle.hours_clock import (
    start,
    stop,
)
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
    since_given,
    sold_as_of,
    with_copies,
)
from retrue.phases.settle.versus import versus, versus_case

__all__ = [
    "RecordStands",
    "answer",
    "book",
    "book_file",
    "book_table",
    "check",
    "closings",
    "correct",
    "counted",
    "day_rate",
    "expected_posting",
    "give",
    "given",
    "guards",
    "hours",
    "hours_file",
    "hours_typed",
    "import_rates",
    "keep_import",
    "include",
    "keep_receipt",
    "kept_rates",
    "lock",
    "newest_question",
    "one_given",
    "one_posting",
    "post",
    "post_expected",
    "rate",
    "rate_case",
    "receipt_file",
    "record",
    "record_stands",
    "refuse_open",
    "set_figure",
    "since_given",
    "sold_as_of",
    "start",
    "stop",
    "take_back",
    "take_back_hours",
    "tell_hours",
    "versus",
    "versus_case",
    "with_copies",
]
