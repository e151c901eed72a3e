"""What one file of sound says: its levels, its bands, and what stands against them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove.recording import Recording, channel_name
from retrue.cases.prove.sound_calibration import Calibration
from retrue.science.bands import Band, Spectrum, analyse, by_time
from retrue.science.weighting import third_of

SWING_DB = 5.0  # more than that within a recording is not one state (judgement)
APART_DB = 1.0  # channels that differ by more do not hear the same (judgement)
MUCH_CLIPPED = 0.001
HEARD_TO_HZ = 8000.0  # a recording that ends below lacks what A counts


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelBand:
    """One band as it was heard, not weighted."""

    exact_hz: float
    nominal_hz: float
    level_db: float
    scatter_db: float = 0.0  # of the time alone, k = 2

    @property
    def third(self) -> int:
        """How many third octaves over 1 kHz."""
        return third_of(self.exact_hz)


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """The levels of one file; None carries its reason in ``why``, by key."""

    name: str
    bands: tuple[LevelBand, ...] = ()
    thirds: bool = True
    level_a_db: float | None = None
    level_c_db: float | None = None
    level_z_db: float | None = None
    peak_c_db: float | None = None
    why: Mapping[str, str] = field(default_factory=dict)
    seconds: float | None = None
    rate_hz: float | None = None
    channels: int | None = None
    channel: int | None = None  # which was taken, counted from 1
    clipped_share: float | None = None
    low_a_db: float | None = None  # of the seconds of it
    high_a_db: float | None = None
    calibrated: bool = False
    give_or_take_db: float  # of the A level, k = 2, its scatter counted
    scatter_db: float = 0.0  # of the A level, of the time alone, k = 2
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def levels_of(
    recording: Recording, calibrated: Calibration, *, channel: int | None = None
) -> Levels:
    """What a recording says.

    Parameters
    ----------
    recording : Recording
    calibrated : Calibration
    channel : int, optional
        Counted from 1; left out, the loudest is taken.

    Returns
    -------
    Levels

    Raises
    ------
    Unusable
        There is no such channel, or it is silent.

    Notes
    -----
    Where samples are cut off at full scale the level is at least what is said, and no peak.

    References
    ----------
    IEC 61672-1:2013, IEC 61260-1:2014.

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.cases.prove.sound_calibration import calibration
    >>> tone = 0.1 * np.sin(2 * np.pi * 1000 * np.arange(96000) / 48000)
    >>> one = Recording(name="a.wav", samples=tone[:, None].astype("f4"), rate_hz=48000.0)
    >>> round(levels_of(one, calibration(offset_db=117)).level_a_db, 1)
    94.0
    """
    spectra = _spectra(recording, calibrated.offset_db)
    if channel is not None:
        recording.channel(channel)
        taken = channel
    else:
        taken = max(spectra, key=lambda one: spectra[one].level_a_db, default=1)
    if taken not in spectra:
        raise Unusable(
            say("{name}: {channel} is silent", name=recording.name,
                channel=channel_name(taken, recording.channels)),
            remedy=say("Choose another channel, or look at the plug of the microphone."),
        )  # fmt: skip
    found, clipped = spectra[taken], recording.clipped(taken)
    low, high = _swing(recording, taken, calibrated.offset_db)
    why = {"peak_c_db": say("the loudest samples are cut off")} if clipped else {}
    return Levels(
        name=recording.name,
        bands=tuple(_band(band) for band in found.third),
        level_a_db=found.level_a_db,
        level_c_db=found.level_c_db,
        level_z_db=found.level_z_db,
        peak_c_db=None if clipped else found.peak_c_db,
        why=why,
        seconds=recording.seconds,
        rate_hz=recording.rate_hz,
        channels=recording.channels,
        channel=taken,
        clipped_share=clipped,
        low_a_db=low,
        high_a_db=high,
        calibrated=calibrated.calibrated,
        give_or_take_db=float((calibrated.give_or_take_db**2 + found.give_or_take_a_db**2) ** 0.5),
        scatter_db=found.give_or_take_a_db,
        notes=(*_channels(recording, spectra, taken), *_reach(recording, found), *calibrated.notes),
        warnings=(*_clipped(recording, clipped), *_unsteady(low, high)),
        assumed=calibrated.assumed,
    )


def loudest(recording: Recording) -> int:
    """The channel that is taken where nobody names one.

    Parameters
    ----------
    recording : Recording

    Returns
    -------
    int
        Counted from 1; the first where all are silent.

    Examples
    --------
    >>> import numpy as np
    >>> two = np.array([[0.0, 0.5], [0.0, -0.5]] * 4000, dtype="f4")
    >>> loudest(Recording(name="a.wav", samples=two, rate_hz=8000.0))
    2
    """
    if recording.channels == 1:
        return 1
    spectra = _spectra(recording, 0.0)
    return max(spectra, key=lambda one: spectra[one].level_a_db, default=1)


def _spectra(recording: Recording, offset_db: float) -> dict[int, Spectrum]:
    """The spectrum of every channel that is not silent."""
    made = {}
    for number_ in range(1, recording.channels + 1):
        samples = recording.channel(number_)
        if samples.min() != samples.max():
            made[number_] = analyse(samples, recording.rate_hz, offset_db)
    return made


def _band(band: Band) -> LevelBand:
    return LevelBand(
        exact_hz=band.exact_hz,
        nominal_hz=band.nominal_hz,
        level_db=band.level_db,
        scatter_db=band.give_or_take_db,
    )


def _swing(recording: Recording, taken: int, offset_db: float) -> tuple[float, float]:
    each = by_time(recording.channel(taken), recording.rate_hz, offset_db=offset_db)
    return float(each.min()), float(each.max())


def _channels(recording: Recording, spectra: dict[int, Spectrum], taken: int) -> Iterator[str]:
    count = recording.channels
    if count == 1:
        return
    levels = {one: spectra[one].level_a_db for one in spectra}
    each = [
        f"{channel_name(one, count)} {number(levels[one], 1) if one in levels else say('silent')}"
        for one in range(1, count + 1)
    ]
    yield say(
        "It has {count} channels; {taken} was taken. dB(A) of each: {levels}.",
        count=count,
        taken=channel_name(taken, count),
        levels=", ".join(map(str, each)),
    )
    if len(levels) > 1 and max(levels.values()) - min(levels.values()) > APART_DB:
        yield say("The channels do not hear the same: name the one that stood at the ear.")


def _reach(recording: Recording, found: Spectrum) -> Iterator[str]:
    """What rate, length and packing leave out."""
    rate = number(recording.rate_hz)
    if found.highest_hz < HEARD_TO_HZ:
        yield say(
            "{rate} samples a second: nothing over {hz} Hz was recorded, so the level may be too "
            "low. The bands below hold.",
            rate=rate,
            hz=number(found.highest_hz),
        )
    elif found.third and found.third[-1].nominal_hz < 20000:
        yield say(
            "{rate} samples a second: bands over {hz} Hz are left out.",
            rate=rate,
            hz=number(found.third[-1].nominal_hz),
        )
    if found.third and found.third[0].nominal_hz > 20:
        yield say(
            "{seconds} s are too short for the bands under {hz} Hz.",
            seconds=number(recording.seconds, 1),
            hz=short(found.third[0].nominal_hz),
        )
    if recording.lossy:
        yield say("It was packed with loss: the highest bands may lack something.")


def _clipped(recording: Recording, share: float) -> Iterator[str]:
    if not share:
        return
    told = say(
        "{name} is cut off at full scale in {share} % of its samples: it was at least as loud as "
        "said here, and the high bands hold noise that the cutting made.",
        name=recording.name,
        share=number(100.0 * share, 4 if share < MUCH_CLIPPED else 1),
    )
    yield f"{told} {say('Turn the gain down and record again.')}"


def _unsteady(low: float, high: float) -> Iterator[str]:
    if high - low > SWING_DB:
        yield say(
            "It is not steady: from {low} to {high} dB(A), second by second. Record one state at a "
            "time.",
            low=number(low, 1),
            high=number(high, 1),
        )
