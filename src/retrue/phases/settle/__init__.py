"""Money and sale: the book, own hours, what it cost, the surplus one, its record, closing.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""

from retrue.phases.settle.book import book

__all__ = ["book"]
