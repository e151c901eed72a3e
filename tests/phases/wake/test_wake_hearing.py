"""A recording is kept as readings of a watch, and a growl in it is a stop."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from tests.powering import AN

from retrue.base.refusals import Unknown
from retrue.cases.prove.recording import Recording
from retrue.phases import wake
from retrue.records.waking import WatchReadings

AT = ("school", "mill")
RATE_HZ = 4000.0


def recorded(times: float) -> Recording:
    """Five minutes of even noise, its last two minutes so many times as strong."""
    noise = 0.02 * np.random.default_rng(3).standard_normal(int(300 * RATE_HZ))
    noise[int(180 * RATE_HZ) :] *= times
    return Recording(name="nose.wav", samples=noise[:, None].astype("f4"), rate_hz=RATE_HZ)


@pytest.mark.parametrize(("times", "calls"), [(1.0, None), (4.0, "stop")])
def test_a_recording_speaks_as_loud_as_it_grew_over_its_own_beginning(floor, times, calls):
    watch = wake.begin_watch(floor, *AT, floor.kinds, what="spindle", heard=True, by=AN)
    ended = floor.clock.passes(5)
    kept = wake.hear(floor, watch.id, recorded(times), ended, by=AN)
    assert (kept.fact.source, len(kept.fact.rows)) == ("sound", 30)
    assert kept.fact.rows[-1][0] == ended.isoformat()  # its last stretch ends with it
    assert kept.fact.rows[0][0] == (ended - timedelta(seconds=290)).isoformat()
    called = wake.call(floor, watch.id, ended, floor.kinds, by=AN)
    assert (called.fact.call if called else None) == calls
    stands = wake.watch_stands(floor, watch.id, ended, floor.kinds)
    told = {one.key: one for one in stands.told}
    assert told["sound_db"].value is None  # nobody knows how many dB that was
    assert "without a known level" in told["sound_db"].why
    assert told["sound_db_drift"].value == pytest.approx(20 * np.log10(times), abs=0.5)
    assert any("relative" in note for note in stands.notes)


def test_a_recording_of_no_watch_is_kept_nowhere(floor):
    with pytest.raises(Unknown):
        wake.hear(floor, "no-such", recorded(1.0), floor.clock.now, by=AN)
    assert floor.current(WatchReadings) == []
