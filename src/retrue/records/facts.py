"""The facts a shop keeps. Each is frozen; a correction is a new record that names the old one.

Money is Decimal in the currency of the lot (or of the shop, for shop facts); shares are 0 to 1;
lengths and masses carry their unit in the name. ``None`` always means "nobody has said":
the answer is then wide and marked assumed, never refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal, get_args

from retrue.records.fixing import Fixing
from retrue.records.joining import Joining
from retrue.records.keeping import Keeping
from retrue.records.measuring import Instrument, OwnLimit, Reading, ReadingSet, Result
from retrue.records.meeting import Meeting
from retrue.records.moving import Arrived, DataCopy, LaidUp, MoveStep, Planned, Round
from retrue.records.screening import ScreeningFact
from retrue.records.seeking import Act, Guess, Hunch, PartMoved, Signed, Trial, Trouble
from retrue.records.settling import Settling
from retrue.records.stripping import AsFound, Cleaned, CleanReading, PutBack, Taken, Ticked
from retrue.records.waking import Waking

Grade = Literal[0, 1, 2, 3, 4, 5]
Channel = Literal["photo", "call", "visit_dead", "visit_live", "apart", "power_up", "running"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """My shop: money, hours, supply, doors, instruments."""

    KIND: ClassVar[str] = "shop"
    SCHEMA: ClassVar[int] = 1
    name: str = "my shop"
    currency: str = "EUR"
    hour_alternative: Decimal | None = None  # what an own hour could have earned
    hour_full: Decimal | None = None  # the full shop rate
    hours_a_week: float | None = None
    horizon_years: float | None = None
    interest: float | None = None  # share a year
    odds: float | None = None  # chance of not being sorry
    supply_volts: float | None = None
    supply_phases: int | None = None
    supply_kva: float | None = None
    supply_outlet: bool | None = None  # an outlet of that size exists
    door_width_mm: float | None = None
    door_height_mm: float | None = None
    floor_kg_m2: float | None = None
    lift_kg: float | None = None
    uses_rigger: bool | None = None
    floor_rented: bool | None = None  # storage there costs money
    storage_eur_m2_month: Decimal | None = None
    instruments: tuple[str, ...] = ()  # owned, by the tool words of the checks
    kilometre_cost: Decimal | None = None  # for visits
    histories: tuple[tuple[str, str], ...] = ()  # own supply: (("PQ", "no"),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One job the machine must do, and what that work costs now."""

    KIND: ClassVar[str] = "need"
    SCHEMA: ClassVar[int] = 1
    name: str
    kind: str  # the kind of machine that can do it
    hours_a_year: float | None = None
    cost_now_per_hour: Decimal | None = None  # bought in, per machine hour
    travel_mm: tuple[float, ...] = ()  # X, Y, Z; or diameter, length
    load_kg: float | None = None
    taper: str | None = None
    bar_mm: float | None = None
    speed_rpm: float | None = None
    tolerance_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """What else would do: a named other way to get the same work done."""

    KIND: ClassVar[str] = "alternative"
    SCHEMA: ClassVar[int] = 1
    name: str
    kind: str
    way: Literal["new", "used", "buy_in", "lease"] = "used"
    price: tuple[Decimal, Decimal, Decimal] | None = None  # low, likely, high; all in
    own_hours: float | None = None
    days: float | None = None  # until the first good part
    resale_share: float | None = None  # of its price, at the horizon
    cost_per_hour: Decimal | None = None  # of running, beyond a restored machine's


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One line of a sale: machines sold together or one by one."""

    KIND: ClassVar[str] = "lot"
    SCHEMA: ClassVar[int] = 1
    name: str
    currency: str = "EUR"
    rate: Decimal | None = None  # shop currency for one unit of the lot's, typed and dated
    rate_on: str | None = None
    sold: Literal["together", "one_by_one"] = "together"
    seller: str = "seller"
    listing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What the lot costs beside the hammer; the newest one counts."""

    KIND: ClassVar[str] = "terms"
    SCHEMA: ClassVar[int] = 1
    lot: str
    sale: Literal["fixed_price", "offer", "ascending", "sealed"] = "ascending"
    asking: Decimal | None = None
    bid_now: Decimal | None = None
    bid_step: Decimal | None = None
    premium: float | None = None  # share of the hammer
    tax_rate: float | None = None
    tax_reclaimable: bool | None = None
    tax_scheme: Literal["ordinary", "margin", "private", "import"] | None = None
    duty: float | None = None
    deposit: Decimal | None = None
    closes_at: str | None = None  # ISO 8601 with offset
    distance_km: float | None = None
    removal_by: str | None = None  # ISO date
    removal_days: float | None = None  # days from hammer to deadline
    late_fine_per_day: Decimal | None = None
    loader_fee: Decimal | None = None
    loader_named: bool | None = None
    loading_help: bool | None = None
    storage_days_free: float | None = None
    insurance_wanted: bool | None = None
    rivals: int | None = None
    nothing_left_behind: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A machine of a lot: what is known of it without opening it."""

    KIND: ClassVar[str] = "machine"
    SCHEMA: ClassVar[int] = 1
    lot: str
    name: str
    kind: str
    age_years: float | None = None
    mass_kg: float | None = None
    new_price: Decimal | None = None  # of a comparable new one today
    travel_mm: tuple[float, ...] = ()
    load_kg: float | None = None
    taper: str | None = None
    bar_mm: float | None = None
    speed_rpm: float | None = None
    tolerance_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    not_fitted: tuple[str, ...] = ()  # faults that cannot be: the part is not fitted
    live_with: tuple[str, ...] = ()  # MUST faults the owner agrees to live with
    control_family: str | None = None
    wet: bool | None = None
    tooling: Literal["all", "some", "none"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One stamped value, typed once."""

    KIND: ClassVar[str] = "plate"
    SCHEMA: ClassVar[int] = 1
    machine: str
    entry: str  # id of the plate table, N03
    value: str
    picture: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One answer to one look: what was seen, by whom, how surely.

    Exactly one of ``check``, ``history``, ``fault`` is given. Answers: a check takes
    ``not_seen``, ``seen``, ``slight``, ``severe`` or ``cant_tell``, or a reading of one of its
    measures; a history takes ``yes``, ``no``, ``likely``, ``maybe``, ``unknown``;
    a fault (at teardown) takes ``present`` or ``absent``.
    """

    KIND: ClassVar[str] = "finding"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str | None  # None: said of the whole lot
    check: str | None = None
    history: str | None = None
    fault: str | None = None
    answer: str = ""
    measure: str | None = None
    reading: float | None = None
    uncertainty: float | None = None  # expanded, k = 2, in the measure's unit
    grade: Grade = 1
    channel: Channel = "photo"
    informant: str | None = None  # None: myself
    picture: str | None = None
    units: int = 1  # axes, motors or cables the finding names
    temperature_c: float | None = None  # of the winding, where the measure is corrected for it
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """A cost line overtyped by the owner, with the reason."""

    KIND: ClassVar[str] = "cost_line"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str | None
    line: str  # a cost id (E11), or fault:way (F15:local), or job id (J24)
    amount: Decimal
    hours: float | None = None
    days: float | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """A kept file: its content is stored by hash, this says where it belongs."""

    KIND: ClassVar[str] = "file"
    SCHEMA: ClassVar[int] = 1
    sha256: str
    name: str
    media_type: str  # proved from the content
    size_bytes: int
    lot: str | None = None
    machine: str | None = None
    place: str | None = None
    shot: str | None = None  # what the picture shows: S01..., W01...
    caption: str = ""
    page: int | None = None
    taken: str | None = None
    whole: bool = True  # False: scaled before it was sent


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """The five-second note: one picture, one sentence, or both; tied to nothing."""

    KIND: ClassVar[str] = "note"
    SCHEMA: ClassVar[int] = 1
    text: str = ""
    file: str | None = None
    lot: str | None = None
    machine: str | None = None
    alarm: str = ""
    doing: str = ""  # what I was doing when the alarm came
    setting: str = ""
    old: str = ""
    new: str = ""
    why: str = ""
    put_back: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Something asked of an informant: a shot or a question; an absent answer counts once."""

    KIND: ClassVar[str] = "asked"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str | None
    what: str  # shot id S07 or question id Q03 or check id
    informant: str
    came: bool | None = None  # False: asked for and not sent


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What keeping a finding did to the price."""

    KIND: ClassVar[str] = "moved"
    SCHEMA: ClassVar[int] = 1
    lot: str
    finding: str
    before: Decimal | None
    after: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Frozen:
    """The number before the bidding: it never rises without a typed reason."""

    KIND: ClassVar[str] = "frozen"
    SCHEMA: ClassVar[int] = 1
    lot: str
    hammer: Decimal
    all_in: Decimal
    sorry: float  # chance of being sorry at that price
    dangers: tuple[str, ...]
    seed: int
    worlds: int
    kind_hash: str
    version: str
    sheet: str  # the whole price sheet, canonical JSON
    reason: str = ""  # why it rose


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Won at, lost at, or walked away."""

    KIND: ClassVar[str] = "outcome"
    SCHEMA: ClassVar[int] = 1
    lot: str
    result: Literal["won", "lost", "walked"]
    amount: Decimal | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn:
    """A record taken back; what it said stays readable, and counts no more."""

    KIND: ClassVar[str] = "withdrawn"
    SCHEMA: ClassVar[int] = 1
    of_kind: str
    reason: str = ""


Fact = (
    Shop
    | Need
    | Alternative
    | Lot
    | Terms
    | Machine
    | Plate
    | Finding
    | CostLine
    | File
    | Note
    | Asked
    | Moved
    | Frozen
    | Outcome
    | Instrument
    | ReadingSet
    | Reading
    | Result
    | OwnLimit
    | Trouble
    | Hunch
    | Trial
    | Act
    | PartMoved
    | Signed
    | Guess
    | Planned
    | DataCopy
    | MoveStep
    | Arrived
    | LaidUp
    | Round
    | AsFound
    | Ticked
    | Cleaned
    | CleanReading
    | Taken
    | PutBack
    | Waking
    | Fixing
    | Settling
    | ScreeningFact
    | Joining
    | Meeting
    | Keeping
    | Withdrawn
)
FACTS: tuple[type[Fact], ...] = get_args(Fact)
