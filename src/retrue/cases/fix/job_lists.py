"""How far a base job is by its own list: lines as found, stages of first power, places cleaned."""

from __future__ import annotations

from retrue.cases.fix.kept import MachineKept
from retrue.cases.wake.progress import Progress
from retrue.kinds.library import Job

RUN_IN_STAGES = ("P8", "P9", "P10")  # first turn, helpers, dry run: they belong to the run-in


def open_lines(machine: MachineKept) -> tuple[str, ...]:
    """Lines of the as-found list that are needed and not kept yet.

    Parameters
    ----------
    machine : MachineKept

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> line = SimpleNamespace(id="A1", needed="needed")
    >>> kind = SimpleNamespace(as_found={"A1": line})
    >>> open_lines(SimpleNamespace(kind=kind, as_found=()))
    ('A1',)
    """
    return tuple(
        one.id
        for one in machine.kind.as_found.values()
        if one.needed == "needed" and one.id not in machine.as_found
    )


def open_share(machine: MachineKept, job: Job) -> float:
    """How much of a job is left by its own list: lines as found, stages of first power.

    Parameters
    ----------
    machine : MachineKept
    job : Job

    Returns
    -------
    float
        0 to 1; 1 where it has no list.
    """
    if job.sort == "record" and machine.as_found:
        lines = [one.id for one in machine.kind.as_found.values() if one.place]
        return sum(id not in machine.as_found for id in lines) / len(lines)
    if job.sort == "start" and machine.stages:
        stages = _until_running(machine)
        return sum(not one.signed for one in stages) / len(stages)
    return 1.0


def started(machine: MachineKept) -> bool:
    """Whether first power is signed as far as its job goes: what runs in comes later.

    Parameters
    ----------
    machine : MachineKept

    Returns
    -------
    bool
    """
    stages = _until_running(machine)
    return bool(stages) and all(one.signed for one in stages)


def _until_running(machine: MachineKept) -> list[Progress]:
    return [one for one in machine.stages.values() if one.stage.stage not in RUN_IN_STAGES]


def all_clean(machine: MachineKept, job: Job) -> bool:
    """Whether every place of a cleaning pass was cleaned that way.

    Parameters
    ----------
    machine : MachineKept
    job : Job

    Returns
    -------
    bool
    """
    return all(job.when in machine.cleaned.get(place, ()) for place in job.places)
