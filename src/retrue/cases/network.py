"""One network for a whole lot: past lives, faults and candour, each once in its scope."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import say
from retrue.belief.base_odds import fault_table, solve_base
from retrue.belief.looks import CANDID_PRIOR
from retrue.belief.network import Network
from retrue.cases.case import LotCase
from retrue.cases.strands import Behind, Strands, strands
from retrue.kinds.library import Fault, Kind
from retrue.records.facts import Finding, Machine

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class CaseNetwork:
    """A lot's network, with the way from the words of a case to its variables.

    Attributes
    ----------
    network : Network
        Names: ``A.HH`` or ``lot.DS`` or ``shop.PQ``, ``candid.seller``, ``A.F01``, ``lot.F94``;
        parted by what happened (see strands).
    kinds : mapping of str to Kind
        By machine.
    histories, faults : mapping of (machine, id) to int
        The variable of the plain layout, as nothing had happened; scope lot and shop lead to the
        same one from every machine.
    shop_histories : mapping of str to int
        The owner's own: what drives faults of scope shop.
    candid : mapping of str to int
        By informant.
    """

    network: Network
    kinds: Mapping[str, Kind]
    histories: Mapping[tuple[str, str], int]
    faults: Mapping[tuple[str, str], int]
    shop_histories: Mapping[str, int]
    candid: Mapping[str, int]
    strands: Strands

    def showing(self, machine: str, fault: str, place: int) -> tuple[int, ...]:
        """Variables by which a fault of a machine can show to the finding at that place."""
        return self.showing_at(machine, fault, self.strands.time(place))

    def showing_at(self, machine: str, fault: str, time: int) -> tuple[int, ...]:
        """The same after that many events."""
        row = self.strands.slot((machine, fault), time)
        live = () if row is None else self.strands.live(row, time)
        return tuple(strand.variable for strand in live)

    def there_now(self, states: Bools) -> Bools:
        """Fold drawn states, (variables, worlds), to the plain layout: what is there now."""
        return states if self._parted_not else self.strands.there_now(states)

    def marginal_now(self, marginal: Floats) -> Floats:
        """Fold marginals, (variables,), to the plain layout: what is there now."""
        return marginal if self._parted_not else self.strands.marginal_now(marginal)

    def behind(self, trouble: str, time: int | None = None) -> tuple[Behind, ...]:
        """What can make a trouble show after that many events; now if it is not said."""
        parted = self.strands
        if trouble not in parted.complaints:
            return ()
        at = len(parted.places) if time is None else time
        mine = parted.complaints[trouble].machine
        rows = []
        for (machine, fault), row in sorted(parted.slots[at].items()):
            live = [s.variable for s in parted.live(row, at) if trouble in s.behind]
            if live and machine == mine:
                rows.append(Behind(machine, fault, tuple(live)))
        live = [s.variable for s in parted.live(parted.others[trouble], at)]
        rows.append(Behind(mine, None, tuple(live)))
        return tuple(rows)

    @property
    def _parted_not(self) -> bool:
        return self.strands.network is self.strands.plain and not self.strands.moved


def build(case: LotCase, kinds: Mapping[str, Kind]) -> CaseNetwork:
    """Build the network of a lot.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of str to Kind
        By id of the kind.

    Returns
    -------
    CaseNetwork

    Raises
    ------
    Unknown
        A machine's kind is not among ``kinds``.

    Notes
    -----
    A fault of scope lot whose past life is told of each machine apart leans on the mean of them:
    each machine's history multiplies its odds by the n-th root of the raiser. Its listed share
    still holds.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> built = build(case, load())
    >>> built.network.names[built.faults["A", "F14"]]
    'A.F14'
    """
    of = _kinds(case.machines, kinds)
    plain = _plain(case, of)
    parted = strands(case, plain.network, plain.faults, of)
    return CaseNetwork(
        network=parted.network,
        kinds=of,
        histories=plain.histories,
        faults=plain.faults,
        shop_histories=plain.shop_histories,
        candid=plain.candid,
        strands=parted,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Plain:
    """The network as nothing had happened; it hangs on the machines and on who spoke."""

    network: Network
    histories: Mapping[tuple[str, str], int]
    faults: Mapping[tuple[str, str], int]
    shop_histories: Mapping[str, int]
    candid: Mapping[str, int]


MOST_PLAIN = 32  # networks that are held; a lot needs one for each set of people who spoke
_HELD: dict[Hashable, tuple[tuple[Kind, ...], _Plain]] = {}


def _plain(case: LotCase, of: Mapping[str, Kind]) -> _Plain:
    """Built once for the same machines, the very same kinds and the same informants."""
    mine = tuple(of[machine.name] for machine in case.machines)
    told = tuple((one.name, one.not_fitted) for one in case.machines)
    key = (told, tuple(map(id, mine)), tuple(_speakers(case)))
    known = _HELD.get(key)
    if known is None:
        while len(_HELD) >= MOST_PLAIN:
            _HELD.pop(next(iter(_HELD)), None)
        known = _HELD[key] = (mine, _built(case, of))  # held with its kinds: an id is theirs alone
    return known[1]


def _built(case: LotCase, of: Mapping[str, Kind]) -> _Plain:
    roots = _Roots(case, of)
    faults: dict[tuple[str, str], int] = {}
    names: list[str] = []
    parents: list[tuple[int, ...]] = []
    tables: list[Floats] = []
    seen: dict[str, int] = {}
    for machine in case.machines:
        kind = of[machine.name]
        for fault in kind.faults.values():
            if fault.id in machine.not_fitted:
                continue
            name = f"{_owner(fault.scope, machine)}.{fault.id}"
            if name not in seen:
                seen[name] = len(names)
                own, priors = roots.of_fault(fault, machine, kind)
                base = _base(kind, fault, list(own.values()), priors, len(case.machines))
                names.append(name)
                parents.append(tuple(own))
                tables.append(fault_table(base, list(own.values())))
            faults[machine.name, fault.id] = seen[name]
    count = len(roots.names)
    network = Network(
        names=(*roots.names, *names),
        root_prior=np.array(roots.priors, dtype=np.float64),
        parents=tuple(parents),
        tables=tuple(tables),
    )
    return _Plain(
        network=network,
        histories=roots.histories,
        faults={key: count + place for key, place in faults.items()},
        shop_histories=roots.shop,
        candid=roots.candid,
    )


def gated(finding: Finding) -> bool:
    """Whether an answer owes anything to its informant's candour.

    Parameters
    ----------
    finding : Finding

    Returns
    -------
    bool
        A picture owes nothing to it, nor what was seen or measured by oneself (grade 3 and up).

    Examples
    --------
    >>> call = Finding(lot="a", machine="A", check="C15", grade=0, channel="call")
    >>> gated(call)  # one's own knowledge
    False
    """
    return finding.informant is not None and finding.grade <= 2 and finding.channel != "photo"


def _kinds(machines: Sequence[Machine], kinds: Mapping[str, Kind]) -> dict[str, Kind]:
    problems = tuple(
        Problem(
            m.name,
            say("no kind of machine is called {kind}", kind=m.kind),
            say("`retrue kinds list` names them."),
        )
        for m in machines
        if m.kind not in kinds
    )
    if problems:
        raise Unknown(
            say("a machine is of no kind we know"),
            remedy=say("Choose one of the kinds."),
            problems=problems,
        )
    return {m.name: kinds[m.kind] for m in machines}


def _owner(scope: str, machine: Machine) -> str:
    return machine.name if scope == "machine" else scope


def _speakers(case: LotCase) -> list[str]:
    """The informants whose candour something hangs on."""
    speakers = {k.finding.informant for k in case.findings if gated(k.finding)}
    speakers |= {a.informant for a in case.asked if a.came is False}
    return sorted(s for s in speakers if s)


class _Roots:
    """Past lives and candour, numbered as they come."""

    def __init__(self, case: LotCase, of: Mapping[str, Kind]) -> None:
        self.names: list[str] = []
        self.priors: list[float] = []
        self.histories: dict[tuple[str, str], int] = {}
        self.shop: dict[str, int] = {}
        self.machines = case.machines
        found: dict[str, int] = {}
        for machine in case.machines:
            kind = of[machine.name]
            for history in kind.histories.values():
                name = f"{_owner(history.scope, machine)}.{history.id}"
                if name not in found:
                    found[name] = self._add(name, history.prior)
                self.histories[machine.name, history.id] = found[name]
            for id in sorted(
                {h for f in kind.faults.values() if f.scope == "shop" for h in f.raisers}
            ):
                name = f"shop.{id}"
                if name not in found:
                    found[name] = self._add(name, kind.histories[id].prior)
                self.shop[id] = found[name]
        self.candid = {who: self._add(f"candid.{who}", CANDID_PRIOR) for who in _speakers(case)}

    def _add(self, name: str, prior: float) -> int:
        self.names.append(name)
        self.priors.append(prior)
        return len(self.names) - 1

    def of_fault(
        self, fault: Fault, machine: Machine, kind: Kind
    ) -> tuple[dict[int, float], list[float]]:
        """The fault's own roots with what each multiplies its odds by, and their shares."""
        own: dict[int, float] = {}
        for id, raiser in fault.raisers.items():
            if fault.scope == "machine":
                ways = [self.histories[machine.name, id]]
            elif fault.scope == "shop":
                ways = [self.shop[id]]
            else:
                ways = sorted(
                    {
                        self.histories[m.name, id]
                        for m in self.machines
                        if (m.name, id) in self.histories
                    }
                )
            for root in ways:
                own[root] = raiser ** (1.0 / len(ways))
        return own, [self.priors[root] for root in own]


def _base(
    kind: Kind, fault: Fault, raisers: list[float], priors: list[float], machines: int
) -> float:
    """The base log odds: the kind's own where it fits, else solved here."""
    if fault.scope != "lot" or machines == 1:
        known = kind.base_log_odds.get(fault.id)
        if known is not None:
            return known
    return solve_base(fault.prior, raisers, priors)
