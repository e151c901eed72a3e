"""My lots, a new lot, its terms and its machines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, cast

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unknown
from retrue.base.say import later, say
from retrue.cases.known import kind_doubt
from retrue.phases import worth
from retrue.phases.worth import LotView
from retrue.records.facts import Lot, Machine, Terms
from retrue.web.door import again, deed, fresh, hand, to, typed
from retrue.web.forms import Typed
from retrue.web.pages import render
from retrue.web.uploads import keep_each

AGES = (
    ("7", later("under 10")),
    ("12", later("10 to 15")),
    ("17", later("15 to 20")),
    ("22", later("20 to 25")),
    ("27", later("25 to 30")),
    ("35", later("over 30")),
    ("", later("don’t know")),
)
COUNTS = ("0", "1", "2", "3")
LETTERS = "ABC"


@dataclass(frozen=True, slots=True)
class Slot:
    """Room in the form for one machine of a kind."""

    field: str
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class KindSlots:
    """One type of machine on the form: how many, and the room for each."""

    id: str
    name: str
    full: bool
    slots: tuple[Slot, ...]


def kind_slots(request: Request) -> list[KindSlots]:
    """The types of machine this house knows, fullest first."""
    every = sorted(request.app.state.kinds.values(), key=lambda kind: -len(kind.faults))
    return [
        KindSlots(
            kind.id,
            kind.name,
            position < 2,
            tuple(
                Slot(f"{kind.id}-{n}", n, f"{kind.name} {letter}" if n > 1 else kind.name)
                for n, letter in enumerate(LETTERS, start=1)
            ),
        )
        for position, kind in enumerate(every)
    ]


def machines_from(form: Typed, kinds: list[KindSlots]) -> list[Machine]:
    """The machines that were counted, with their names and ages."""
    return [
        Machine(
            lot="",
            name=form.text(f"name-{slot.field}") or slot.name,
            kind=kind.id,
            age_years=form.real(f"age-{slot.field}"),
        )
        for kind in kinds
        for slot in kind.slots
        if slot.number <= (form.whole(f"count-{kind.id}") or 0)
    ]


def lot_from(form: Typed) -> Lot:
    """The line of the sale itself."""
    return Lot(
        name=form.text("name"),
        currency=form.text("currency") or "EUR",
        rate=form.amount("rate"),
        rate_on=form.day("rate_on"),
        sold=cast(Literal["together", "one_by_one"], form.text("sold") or "together"),
        seller=form.text("seller") or "seller",
        listing=form.text("listing"),
    )


def terms_from(form: Typed) -> Terms:
    """What the lot costs beside the hammer, as far as it was typed."""
    return Terms(
        lot="",
        sale=cast(Any, form.text("sale") or "ascending"),
        asking=form.amount("asking"),
        bid_now=form.amount("bid_now"),
        bid_step=form.amount("bid_step"),
        premium=form.share("premium"),
        tax_rate=form.share("tax_rate"),
        tax_reclaimable=form.yes_no("tax_reclaimable"),
        tax_scheme=cast(Any, form.text("tax_scheme") or None),
        duty=form.share("duty"),
        deposit=form.amount("deposit"),
        closes_at=form.moment("closes_at"),
        distance_km=form.real("distance_km"),
        removal_by=form.day("removal_by"),
        removal_days=form.real("removal_days"),
        late_fine_per_day=form.amount("late_fine_per_day"),
        loader_fee=form.amount("loader_fee"),
        loader_named=form.yes_no("loader_named"),
        loading_help=form.yes_no("loading_help"),
        storage_days_free=form.real("storage_days_free"),
        insurance_wanted=form.yes_no("insurance_wanted"),
        rivals=form.whole("rivals"),
        nothing_left_behind=form.yes_no("nothing_left_behind"),
    )


async def show_new(request: Request, /, **more: Any) -> Response:
    """The form for a new lot."""
    count = len(await deed(worth.lots, request))
    mine = await deed(worth.my_shop, request)
    return render(
        request,
        "worth/new.html",
        kinds=kind_slots(request),
        ages=AGES,
        counts=COUNTS,
        currency=mine.fact.currency if mine else "EUR",
        suggested=say("Lot {number}", number=count + 1),
        id=fresh(),
        **more,
    )


@again(show_new)
async def post_new(request: Request) -> Response:
    """Keep the lot, its machines and its photographs; the price follows at once."""
    form = await typed(request)
    machines = machines_from(form, kind_slots(request))
    if not machines:
        form.problems.append(
            Problem("machines", say("no machine was counted"), say("Say what is for sale."))
        )
    terms, lot = terms_from(form), lot_from(form)
    form.check()
    view = await deed(worth.new_lot, request, lot, terms, machines, **hand(request, form))
    return await keep_pictures(request, view, form.files("pictures"), f"/lots/{view.id}")


async def keep_pictures(
    request: Request, view: LotView, uploads: tuple[UploadFile, ...], onward: str
) -> Response:
    """Keep what was sent; the good ones stay when one is refused, and the page says which."""
    shop = request.app.state.shop
    refused = await keep_each(shop, view.id, uploads, hand(request))
    if not refused:
        return to(onward)
    return render(
        request,
        "worth/refused_pictures.html",
        status=422,
        view=view,
        kept=len(uploads) - len(refused),
        refused=refused,
        onward=onward,
    )


async def show_terms(request: Request, /, **more: Any) -> Response:
    """What the sale costs beside the hammer."""
    view = await deed(worth.view_lot, request, request.path_params["lot"])
    return render(request, "worth/terms.html", view=view, **more)


@again(show_terms)
async def post_terms(request: Request) -> Response:
    """Keep the facts of the sale; the newest ones count."""
    form = await typed(request)
    terms = terms_from(form)
    form.check()
    lot = request.path_params["lot"]
    await deed(worth.keep_terms, request, lot, terms, **hand(request))
    return to(f"/lots/{lot}")


async def show_facts(request: Request, /, **more: Any) -> Response:
    """What is known of one machine without opening it."""
    lot, name = request.path_params["lot"], request.path_params["machine"]
    view = await deed(worth.view_lot, request, lot)
    record = await deed(worth.machine_of, request, lot, name)
    kind = request.app.state.kinds.get(record.fact.kind)
    if kind is None:
        doubt = kind_doubt("kind", record.fact.kind, request.app.state.kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    return render(
        request,
        "worth/machine.html",
        view=view,
        key=view.machine_id(name),
        machine=record.fact,
        kind=kind,
        ages=AGES,
        **more,
    )


def machine_from(form: Typed) -> dict[str, Any]:
    """The fields of a machine, as far as they were typed."""
    travel = [form.real(f"travel_{axis}") for axis in "123"]
    return {
        "name": form.text("name"),
        "age_years": form.real("age_years") if form.text("age_years") else form.real("age"),
        "mass_kg": form.real("mass_kg"),
        "new_price": form.amount("new_price"),
        "travel_mm": tuple(value for value in travel if value is not None),
        "load_kg": form.real("load_kg"),
        "taper": form.text("taper") or None,
        "bar_mm": form.real("bar_mm"),
        "speed_rpm": form.real("speed_rpm"),
        "tolerance_mm": form.real("tolerance_mm"),
        "width_mm": form.real("width_mm"),
        "height_mm": form.real("height_mm"),
        "not_fitted": form.many("not_fitted"),
        "live_with": form.many("live_with"),
        "control_family": form.text("control_family") or None,
        "wet": form.yes_no("wet"),
        "tooling": form.text("tooling") or None,
    }


@again(show_facts)
async def post_machine(request: Request) -> Response:
    """Correct what is known of a machine."""
    form = await typed(request)
    fields = machine_from(form)
    form.check()
    lot = request.path_params["lot"]
    record = await deed(worth.machine_of, request, lot, request.path_params["machine"])
    await deed(worth.correct, request, Machine, record.id, **fields, **hand(request))
    return to(f"/lots/{lot}")


async def show_add_machine(request: Request, /, **more: Any) -> Response:
    """The form for one more machine in the lot."""
    view = await deed(worth.view_lot, request, request.path_params["lot"])
    kinds = kind_slots(request)
    return render(request, "worth/add_machine.html", view=view, kinds=kinds, ages=AGES, **more)


def unknown_kind(kind: str, request: Request) -> Problem:
    """What is wrong with a type of machine that the library does not have."""
    doubt = kind_doubt("kind", kind, request.app.state.kinds)
    return Problem("kind", doubt.what, doubt.remedy)


@again(show_add_machine)
async def post_add_machine(request: Request) -> Response:
    """Put one more machine into the lot."""
    form = await typed(request)
    name, kind, age = form.text("name"), form.text("kind"), form.real("age")
    if kind not in request.app.state.kinds:
        form.problems.append(unknown_kind(kind, request))
    form.check()
    lot = request.path_params["lot"]
    machine = Machine(lot=lot, name=name, kind=kind, age_years=age)
    await deed(worth.add_machine, request, lot, machine, **hand(request))
    return to(f"/lots/{lot}")
