"""From full scale to decibels: by a known level that was recorded, a typed offset, or neither."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sensed import CALIBRATED_DB, INDICATIVE_DB
from retrue.science.bands import Spectrum, analyse

USUAL_DB = 94.0
LOWEST_DB, HIGHEST_DB = 40.0, 150.0
# A usual microphone on a chip: a sine of 94 dB stands 26 dB under a sine of full scale, which
# itself is 3.01 dB under a mean square of one (from memory, unverified).
USUAL_OFFSET_DB = 94.0 + 26.0 + 3.01
TONE_SHARE = 0.9  # of all power in one octave: a calibrator's tone (judgement)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """What is added to a level relative to full scale, and how surely."""

    offset_db: float
    calibrated: bool
    give_or_take_db: float  # k = 2
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def calibration(
    known: Recording | None = None,
    *,
    level_db: float | None = None,
    offset_db: float | None = None,
    channel: int | None = None,
) -> Calibration:
    """How a recording's numbers become decibels.

    Parameters
    ----------
    known : Recording, optional
        Of a known level: a calibrator's tone, or steady noise that a meter read beside it.
    level_db : float, optional
        That level; a calibrator's 94 dB where nobody says.
    offset_db : float, optional
        What must be added to a level relative to full scale (a mean square of one is zero), where
        it is known already.
    channel : int, optional
        Of the recording that is to be judged, counted from 1; the same one is taken here.

    Returns
    -------
    Calibration

    Raises
    ------
    Unusable
        Both a recording and an offset, a level without its recording or that no calibrator has, or
        a recording that is cut off at full scale.

    Notes
    -----
    A tone is read in its octave, so that hum and hiss beside it do not count. What is no tone is
    held against what a meter reads, which is A-weighted.

    References
    ----------
    IEC 60942 (calibrators: 94 dB at 1 kHz is usual); the offset of a recorder without one is from
    memory, unverified.

    Examples
    --------
    >>> calibration().calibrated, round(calibration().offset_db, 2)
    (False, 123.01)
    >>> calibration(offset_db=110).give_or_take_db
    2.0
    """
    if known is not None and offset_db is not None:
        raise Unusable(
            say("two calibrations were given"),
            remedy=say("Give the recording of a known level, or the offset, not both."),
            problems=(Problem("offset_db", say("stands beside a calibration file")),),
        )
    if known is None and level_db is not None:
        raise Unusable(
            say("a known level has no recording"),
            remedy=say("Give the recording of that level too."),
            problems=(Problem("calibration_db", say("stands without a calibration file")),),
        )
    if offset_db is not None:
        return _typed(offset_db)
    if known is not None:
        return _heard(known, USUAL_DB if level_db is None else level_db, level_db is None, channel)
    return Calibration(
        offset_db=USUAL_OFFSET_DB,
        calibrated=False,
        give_or_take_db=INDICATIVE_DB,
        notes=(
            say("Indicative, give or take 5 dB: no known level was recorded. A recorder that sets "
                "its own gain may be further off."),
        ),
        assumed=(
            say("A usual microphone: 94 dB stand 26 dB under full scale "
                "(from memory, unverified)."),
        ),
    )  # fmt: skip


def _typed(offset_db: float) -> Calibration:
    if not -50.0 <= offset_db <= 250.0:
        raise Unusable(
            say("an offset of {value} dB belongs to no recorder", value=number(offset_db, 1)),
            remedy=say("Usual ones lie between 90 and 150 dB."),
            problems=(Problem("offset_db", say("is not between -50 and 250 dB")),),
        )
    told = say("Calibrated by a typed offset of {value} dB.", value=number(offset_db, 1))
    return Calibration(
        offset_db=offset_db, calibrated=True, give_or_take_db=CALIBRATED_DB, notes=(told,)
    )


def _heard(known: Recording, level_db: float, assumed: bool, channel: int | None) -> Calibration:
    if not LOWEST_DB <= level_db <= HIGHEST_DB:
        raise Unusable(
            say("{value} dB is no level to set a recorder by", value=number(level_db, 1)),
            remedy=say("Calibrators give 94 or 114 dB."),
            problems=(Problem("calibration_db", say("is not between 40 and 150 dB")),),
        )
    taken = channel if channel is not None and channel <= known.channels else 1
    if known.clipped(taken) > 0:
        raise Unusable(
            say("{name} is cut off at full scale", name=known.name),
            remedy=say("Turn the gain down, record the known level again, and then the machine."),
            problems=(Problem("calibration_file", say("its loudest samples are cut off")),),
        )
    found = analyse(known.channel(taken), known.rate_hz)
    heard, how = _level(found, level_db)
    return Calibration(
        offset_db=level_db - heard,
        calibrated=True,
        give_or_take_db=CALIBRATED_DB,
        notes=(how,),
        assumed=(say("The known level: 94 dB, as most calibrators give."),) if assumed else (),
    )


def _level(found: Spectrum, level_db: float) -> tuple[float, str]:
    tone = max(found.octave, key=lambda band: band.level_db, default=None)
    told = number(level_db, 1)
    if tone is not None and tone.level_db >= found.level_z_db + 10.0 * math.log10(TONE_SHARE):
        return tone.level_db, say(
            "Calibrated by a tone of {level} dB in the octave of {hz} Hz. At other frequencies the "
            "microphone was not checked.",
            level=told,
            hz=number(tone.nominal_hz, 0 if tone.nominal_hz >= 100 else 1),
        )
    return found.level_a_db, say(
        "The known level is no pure tone: it was taken as {level} dB(A) that a meter read.",
        level=told,
    )
