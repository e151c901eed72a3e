"""How often a costly measurement is simulated to see whether its doubt holds as often as it says.

The promise is for 2,000 (``RETRUE_OFTEN=2000``); every run of the tests simulates 300 of them, by
which a doubt that is a third too small is seen as well. Seeds are fixed: a run does not fail by
chance. The published numbers are those of ``RETRUE_OFTEN=2000``.
"""

from __future__ import annotations

import os

OFTEN = int(os.environ.get("RETRUE_OFTEN", "300"))
