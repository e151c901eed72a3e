"""What is believed of a lot now, and in which order the ways of its faults are tried."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from retrue.belief.network import Impossible
from retrue.belief.posterior import update
from retrue.cases.alternatives import DAYS_A_YEAR, band, later, resale_share
from retrue.cases.assume import AGE_YEARS, Settled, settle
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import contradiction, evidence
from retrue.cases.find.costs import mean
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.network import CaseNetwork, build
from retrue.cases.prepare import Stage, setting_of, shop_bench, stage
from retrue.cases.restoration import Bench
from retrue.kinds.library import Fault, Kind, Three

FEW = 8  # worlds of a bench that only decides on orders: none is read


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """Chances of one lot, by machine and id.

    Attributes
    ----------
    faults, lives : mapping of (machine, id) to float
        Of faults that are there now, and of past lives.
    """

    built: CaseNetwork
    settled: Settled
    faults: Mapping[tuple[str, str], float]
    lives: Mapping[tuple[str, str], float]


def belief_of(kept: FixKept, kinds: Mapping[str, Kind]) -> Belief:
    """What is believed now, from everything that was found.

    Parameters
    ----------
    kept : FixKept
    kinds : mapping of kind id to Kind

    Returns
    -------
    Belief

    Raises
    ------
    Unusable
        What was answered contradicts itself.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> kept = fix_of_case(case, load())
    >>> 0.2 < belief_of(kept, load()).faults["mill", "F01"] < 0.4
    True
    """
    built = build(kept.case, kinds)
    found, _ = evidence(kept.case, built)
    try:
        marginal = built.marginal_now(update(built.network, found).marginal)
    except Impossible:
        raise contradiction() from None
    return Belief(
        built=built,
        settled=settle(kept.case, built.kinds),
        faults={key: float(marginal[at]) for key, at in built.faults.items()},
        lives={key: float(marginal[at]) for key, at in built.histories.items()},
    )


def deciding_stage(kept: FixKept, belief: Belief) -> Stage:
    """A stage on which orders of ways are decided, without drawing what is wrong.

    Parameters
    ----------
    kept : FixKept
    belief : Belief

    Returns
    -------
    Stage
    """
    nothing = np.zeros((len(belief.built.strands.plain.names), FEW), dtype=np.bool_)
    drawer = Drawer(7, kept.case.lot.name, FEW)
    return stage(kept.case, belief.built, nothing, belief.settled, drawer)


def bench_of(
    on: Stage,
    machine: MachineKept,
    jobs_done: frozenset[str],
    open_now: frozenset[str],
    gone: frozenset[str],
) -> Bench:
    """One machine on the bench, as far as it is by now.

    Parameters
    ----------
    on : Stage
    machine : MachineKept
    jobs_done, open_now : frozenset of str
        Base jobs behind us, places that stand open.
    gone : frozenset of str
        Faults that were put right or are not there.

    Returns
    -------
    Bench
        The same numbers as those of the price, drawn from the same named streams.
    """
    setting = setting_of(on, machine.machine, resale_now(machine, on.settled))
    treats = setting.treats

    def treated(fault: Fault) -> bool:
        return treats(fault) and fault.id not in gone

    here = replace(
        setting,
        jobs_done=setting.jobs_done | jobs_done,
        open_now=open_now,
        treats=treated,
    )
    return Bench(here, on.drawer)


def shared_bench(on: Stage, machine: MachineKept, gone: frozenset[str]) -> Bench:
    """What belongs to the shop and the lot, paid once: supply, rotation, drawings.

    Parameters
    ----------
    on : Stage
    machine : MachineKept
        The first of the lot.
    gone : frozenset of str

    Returns
    -------
    Bench
    """
    bench = shop_bench(on, machine.machine)
    if not gone & set(bench.row):
        return bench
    treats = bench.setting.treats
    setting = replace(bench.setting, treats=lambda fault: treats(fault) and fault.id not in gone)
    return Bench(setting, on.drawer)


def resale_now(machine: MachineKept, settled: Settled) -> float:
    """What a machine brings at the end, discounted, by expected figures: what a drop costs.

    Parameters
    ----------
    machine : MachineKept
    settled : Settled

    Returns
    -------
    float
        In the shop's currency.
    """
    said = machine.machine
    new = said.new_price
    price = mean(band(machine.kind, "info: base of resale").amount) if new is None else float(new)
    age = mean(Three(*AGE_YEARS)) if said.age_years is None else said.age_years
    shares = dict(machine.kind.levels["right"].resale_share)
    share = resale_share(shares, np.array([age + settled.horizon]))
    end = later(settled.horizon * DAYS_A_YEAR, settled.interest)
    return float(price * share[0] * end)
