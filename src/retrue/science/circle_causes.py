"""Which cause made which part of a circular path: separated over all paths at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import TooHard
from retrue.base.say import say
from retrue.science.circle import Path
from retrue.science.circle_choice import choose
from retrue.science.signatures import PAIR, Frame, column, frame_of, turn

Floats = NDArray[np.float64]
BLOCK = 32_768  # points whose columns stand in memory at once
SEPARABLE = 400.0  # variance inflation from which a cause is no longer told from the others


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause: how large, how well known, and whether these paths tell it from the others."""

    id: str
    value: float
    unit: str  # um, um_per_m, ms
    standard_uncertainty: float
    separable: bool


@dataclass(frozen=True, slots=True, eq=False)
class Separation:
    """All causes of a set of paths.

    Attributes
    ----------
    causes : tuple of Cause
        The two parts of a cyclic error are one cause, its amplitude.
    ids : tuple of str
        Fitted columns; ``values``, ``covariance`` of shape (k,) and (k, k) belong to them.
    residuals : tuple of ndarray
        Reading less model, one array a path, micrometres.
    residual_sd : float
        Of one reading.
    freedom, condition
        Degrees of freedom; largest over smallest singular value of the columns scaled to one.
    autocorrelation : float
        Of neighbouring residuals; far from zero where something is not in the model.
    effective : float
        Number of independent readings that the residuals are worth.
    frame : Frame
        What the columns are told in.
    """

    causes: tuple[Cause, ...]
    ids: tuple[str, ...]
    values: Floats
    covariance: Floats
    residuals: tuple[Floats, ...]
    residual_sd: float
    freedom: int
    condition: float
    autocorrelation: float
    effective: float
    frame: Frame


def separate(
    paths: Sequence[Path],
    *,
    pitch_mm: float | None = None,
    ids: Sequence[str] | None = None,
    reading_sd: float = 0.0,
) -> Separation:
    """Fit all causes to all paths at once.

    Parameters
    ----------
    paths : sequence of Path
        Of one or several circles, any number of points.
    pitch_mm : float or None
        Of the two screws, for cyclic errors.
    ids : sequence of str or None
        Columns to fit; None takes those of `choose`.
    reading_sd : float
        Standard uncertainty of one reading; counts where the residuals are smaller.

    Returns
    -------
    Separation
        Micrometres, micrometres per metre, milliseconds.

    Raises
    ------
    TooHard
        Less than 180 degrees of arc, or columns that these paths cannot tell apart at all.

    Notes
    -----
    Normal equations of columns of like size, summed up block by block: their condition stays near
    ten, and memory does not grow with the columns. Where neighbouring residuals are alike, the
    covariance is widened by (1 + a)/(1 - a), the loss of independent readings of a first-order
    process.

    References
    ----------
    GUM (JCGM 100:2008), 5.1.2 and H.3, for the covariance; Bayley and Hammersley, The effective
    number of independent observations, Suppl. J. R. Stat. Soc. 8 (1946) (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0.25, 360, 0.5))
    >>> step = 3 * np.sign(np.sin(angle)) * np.cos(angle)
    >>> made = separate([Path(angle, step, 1, 150.0), Path(angle, -step, -1, 150.0)])
    >>> {c.id: c.value for c in made.causes}["reversal_x"].__round__(6)
    6.0
    """
    frame = frame_of(paths, pitch_mm)
    names = tuple(ids) if ids is not None else choose(paths, pitch_mm)
    matrix, right, count = _sums(paths, names, frame)
    size = np.sqrt(np.diag(matrix))
    if (size == 0).any():
        raise _not_told_apart()
    scaled = matrix / np.outer(size, size)
    eigen = np.linalg.eigvalsh(scaled)
    if eigen[0] < 1e-10 * eigen[-1]:
        raise _not_told_apart()
    inverse = np.linalg.inv(scaled)
    values = inverse @ (right / size) / size
    residuals = _residuals(paths, names, frame, values)
    freedom = count - len(names)
    squares = sum(float(left @ left) for left in residuals)
    sd = (squares / freedom) ** 0.5 if freedom > 0 else 0.0
    alike = _autocorrelation(paths, residuals, squares)
    wide = (1 + alike) / (1 - alike) if alike > 2 / count**0.5 else 1.0
    wide = min(wide, count / 4)
    covariance = inverse / np.outer(size, size) * max(sd**2 * wide, reading_sd**2)
    units = {name: _unit(name, frame) for name in names}
    inflation = dict(zip(names, np.diag(inverse), strict=True))
    return Separation(
        causes=_causes(names, values, covariance, units, inflation),
        ids=names,
        values=values,
        covariance=covariance,
        residuals=residuals,
        residual_sd=sd,
        freedom=freedom,
        condition=float(np.sqrt(eigen[-1] / eigen[0])),
        autocorrelation=alike,
        effective=count / wide,
        frame=frame,
    )


def _not_told_apart() -> TooHard:
    return TooHard(
        say("these paths cannot tell the causes apart"),
        remedy=say("Measure both directions, over more of the circle."),
    )


def _blocks(path: Path) -> list[tuple[int, int]]:
    count = len(path.angle_rad)
    return [(start, min(start + BLOCK, count)) for start in range(0, count, BLOCK)]


def _sums(paths: Sequence[Path], names: Sequence[str], frame: Frame) -> tuple[Floats, Floats, int]:
    """Products of the columns with each other and with the readings, and how many there are."""
    matrix, right, count = np.zeros((len(names),) * 2), np.zeros(len(names)), 0
    for path in paths:
        for start, stop in _blocks(path):
            rows = _rows(path, names, frame, start, stop)
            matrix += rows @ rows.T
            right += rows @ path.deviation_um[start:stop]
            count += stop - start
    return matrix, right, count


def _rows(path: Path, names: Sequence[str], frame: Frame, start: int, stop: int) -> Floats:
    stretch = turn(path, frame, start, stop)
    rows = np.empty((len(names), stop - start))
    for row, name in zip(rows, names, strict=True):
        row[:] = column(name, stretch)
    return rows


def _residuals(
    paths: Sequence[Path], names: Sequence[str], frame: Frame, values: Floats
) -> tuple[Floats, ...]:
    left = []
    for path in paths:
        rest = np.empty(len(path.angle_rad))
        for start, stop in _blocks(path):
            model = values @ _rows(path, names, frame, start, stop)
            rest[start:stop] = path.deviation_um[start:stop] - model
        left.append(rest)
    return tuple(left)


def _autocorrelation(paths: Sequence[Path], residuals: Sequence[Floats], squares: float) -> float:
    """Of neighbours along each path; 0 where there is nothing left."""
    products = 0.0
    for path, left in zip(paths, residuals, strict=True):
        if len(left) > 1:
            steps = np.diff(path.angle_rad)
            if (steps > 0).any() and (steps < 0).sum() > 1 and (steps > 0).sum() > 1:
                left = left[np.argsort(path.angle_rad)]
            products += float(left[1:] @ left[:-1])
    return min(max(products / squares, -0.999), 0.999) if squares > 0 else 0.0


def _unit(name: str, frame: Frame) -> str:
    stem = name.partition("@")[0]
    if stem in {"scale_mismatch", "scale_mean", "squareness", PAIR}:
        return "um_per_m"
    return "ms" if stem == "lag_mismatch" and frame.feed_mm_s is not None else "um"


def _causes(
    names: Sequence[str],
    values: Floats,
    covariance: Floats,
    units: dict[str, str],
    inflation: dict[str, float],
) -> tuple[Cause, ...]:
    made: list[Cause] = []
    for place, name in enumerate(names):
        if name.endswith(".cosine"):
            continue
        separable = name != PAIR and bool(inflation[name] < SEPARABLE)
        value, u = float(values[place]), float(np.sqrt(covariance[place, place]))
        stem, _, part = name.partition(".")
        if part:
            both = [place, place + 1]
            value = float(np.hypot(*values[both]))
            slope = values[both] / value if value > 0 else np.array([1.0, 0.0])
            u = float(np.sqrt(slope @ covariance[np.ix_(both, both)] @ slope))
        made.append(Cause(_said(stem), value, units[name], u, separable))
    return tuple(made)


def _said(name: str) -> str:
    """``centre_x@0`` is plain ``centre_x``, that of the next circle ``centre_x_2``."""
    stem, _, circle = name.partition("@")
    return stem if circle in {"", "0"} else f"{stem}_{int(circle) + 1}"


def without(
    paths: Sequence[Path], separation: Separation, causes: Sequence[str]
) -> tuple[Path, ...]:
    """The same paths after some causes are cured.

    Parameters
    ----------
    paths : sequence of Path
        As measured.
    separation : Separation
        Of these paths.
    causes : sequence of str
        Ids of causes to take out.

    Returns
    -------
    tuple of Path
        What would then be read.

    Notes
    -----
    Re-simulated through the fitted columns; by definition of the model.

    Examples
    --------
    >>> angle = np.radians(np.arange(0.25, 360, 0.5))
    >>> path = Path(angle, 4 * np.cos(2 * angle), 1, 150.0)
    >>> left = without([path], separate([path]), ["scale_mismatch"])
    >>> bool(np.abs(left[0].deviation_um).max() < 1e-9)
    True
    """
    return tuple(
        replace(path, deviation_um=path.deviation_um - share)
        for path, share in zip(paths, shares(paths, separation, causes), strict=True)
    )


def shares(
    paths: Sequence[Path], separation: Separation, causes: Sequence[str]
) -> tuple[Floats, ...]:
    """What some causes alone do to each path.

    Parameters
    ----------
    paths : sequence of Path
        Where it is wanted.
    separation : Separation
        The fitted causes.
    causes : sequence of str
        Ids of causes.

    Returns
    -------
    tuple of ndarray
        Micrometres, one array a path.

    Notes
    -----
    By definition of the model.

    Examples
    --------
    >>> angle = np.radians(np.arange(0.25, 360, 0.5))
    >>> path = Path(angle, 4 * np.cos(2 * angle), 1, 150.0)
    >>> alone = shares([path], separate([path]), ["scale_mismatch"])[0]
    >>> bool(np.allclose(alone, path.deviation_um))
    True
    """
    wanted = [
        place
        for place, name in enumerate(separation.ids)
        if _said(name.partition(".")[0]) in set(causes)
    ]
    names = [separation.ids[place] for place in wanted]
    made = []
    for path in paths:
        share = np.zeros(len(path.angle_rad))
        for start, stop in _blocks(path) if names else []:
            rows = _rows(path, names, separation.frame, start, stop)
            share[start:stop] = separation.values[wanted] @ rows
        made.append(share)
    return tuple(made)
