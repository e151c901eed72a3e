"""Money and sale: the book, own hours, what it cost, the surplus one, its record, closing.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.settle.book import (
    book,
    book_file,
    book_table,
)
from retrue.phases.settle.posting import (
    correct,
    one_posting,
    post,
    take_back,
)
from retrue.phases.settle.rates import (
    closings,
    day_rate,
    import_rates,
    lock,
    rates,
)
from retrue.phases.settle.receipts import (
    keep_receipt,
    receipt_file,
)

__all__ = [
    "book",
    "book_file",
    "book_table",
    "closings",
    "correct",
    "day_rate",
    "import_rates",
    "keep_receipt",
    "lock",
    "one_posting",
    "post",
    "rates",
    "receipt_file",
    "take_back",
]
