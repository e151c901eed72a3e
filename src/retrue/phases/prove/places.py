"""Which machine of which lot, as every deed of measuring finds it."""

from retrue.cases.spot import Spot, find, first_id

__all__ = ["Spot", "find", "first_id"]
