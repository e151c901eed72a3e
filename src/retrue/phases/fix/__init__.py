"""What to do: tonight, who owes what, what to choose and buy, and when it will cut.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids.
"""
