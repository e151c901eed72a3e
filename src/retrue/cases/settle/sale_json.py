"""A sale, an offer, and what comes after it, as flat JSON objects: the same bytes each time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.after import AfterSale
from retrue.cases.settle.sale_drawing import STEP_DAYS
from retrue.cases.settle.sale_lines import OfferLine, Sale

SALE_SCHEMA, OFFER_SCHEMA, AFTER_SCHEMA = "settle.sell.1", "settle.offer.1", "settle.after.1"
PLAIN = (
    "lot_name", "machine_name", "currency", "on", "state", "by_on", "waits", "worth_waiting",
    "best", "seed", "worlds", "sold", "cautions",
)  # fmt: skip


def flat(sale: Sale) -> dict[str, Any]:
    """The sale of one machine as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    sale : Sale

    Returns
    -------
    dict
        Money as numbers in ``currency``; the line to take week by week.
    """
    told: dict[str, Any] = {name: getattr(sale, name) for name in PLAIN}
    told["states"] = [asdict(one) for one in sale.states]
    told["adds"] = [asdict(one) for one in sale.adds]
    told["together"] = None if sale.together is None else asdict(sale.together)
    told["month"] = asdict(sale.month) | {"total": sale.month.total}
    told["line"] = [asdict(one) for one in sale.line[::STEP_DAYS]]
    told["offers"] = [_offer(one) for one in sale.offers]
    told["stops"] = [asdict(one) for one in sale.stops]
    told["donor"] = None if sale.donor is None else asdict(sale.donor)
    told["figures"] = [asdict(one) for one in sale.figures]
    told["listed"] = _listed(sale)
    told["next"] = None if sale.next is None else sale.next.id
    told["why"] = dict(_whys(sale))
    return told | {"schema": SALE_SCHEMA}


def _listed(sale: Sale) -> dict[str, Any] | None:
    if sale.kept is None:
        return None
    fact = asdict(sale.kept.fact)
    fact |= {name: None if fact[name] is None else float(fact[name])
             for name in ("ask", "take", "dump")}  # fmt: skip
    return {name: value for name, value in fact.items() if name not in ("lot", "machine")}


def _offer(one: OfferLine) -> dict[str, Any]:
    fact = one.record.fact
    return {
        "id": one.id, "whom": fact.whom, "offered_on": fact.offered_on,
        "amount": float(fact.amount), "of": fact.currency, "in_shop": one.amount,
        "say": one.say, "words": one.words, "until_on": one.until_on, "best": one.best,
        "answer": fact.answer, "text": fact.text,
    }  # fmt: skip


def _whys(sale: Sale) -> Iterator[tuple[str, str]]:
    for at, state in enumerate(sale.states):
        if state.days is None:
            yield f"states.{at}.days", say("parts go one by one")
            continue
        for name in ("p10", "p50", "p90"):
            if getattr(state.days, name) is None:
                yield f"states.{at}.days.{name}", say("later than the last day")
    for at, offer in enumerate(sale.offers):
        if offer.amount is None:
            yield f"offers.{at}.in_shop", say("the day's rate is missing")
    if sale.together is None:
        yield "together", say("nothing is known that pays")
    if sale.donor is None:
        yield "donor", say("no machine alike is in the lot")
    if sale.next is None:
        yield "next", say("nothing pays: sell it as it stands")
    if sale.kept is None:
        yield "listed", say("it is not listed")
        return
    for name in ("take", "dump"):
        if getattr(sale.kept.fact, name) is None:
            yield f"listed.{name}", say("the owner set none")
    if sale.kept.fact.dump_on is None:
        yield "listed.dump_on", say("the owner set none")


def flat_offer(sale: Sale, id: str) -> dict[str, Any]:
    """One offer with what to answer; the id of its first record names it.

    Parameters
    ----------
    sale : Sale
    id : str

    Returns
    -------
    dict
    """
    one = next(offer for offer in sale.offers if offer.id == id)
    told = _offer(one) | {"currency": sale.currency, "machine_name": sale.machine_name}
    told["why"] = {"in_shop": say("the day's rate is missing")} if one.amount is None else {}
    return told | {"schema": OFFER_SCHEMA}


def flat_after(view: AfterSale) -> dict[str, Any]:
    """What comes after the sale of one machine.

    Parameters
    ----------
    view : AfterSale

    Returns
    -------
    dict
        Each sale's money in its own currency.

    Examples
    --------
    >>> bare = AfterSale(lot="1", lot_name="school", machine="2", machine_name="mill",
    ...                  on="2026-11-26", sales=(), promises=(), questions=(), due=(), law="")
    >>> flat_after(bare)["schema"], flat_after(bare)["why"]
    ('settle.after.1', {})
    """
    why: dict[str, str] = {}
    due = []
    for at, one in enumerate(view.due):
        due.append(asdict(one))
        if one.days_left is None:
            why[f"due.{at}.days_left"] = say("no day was named")
    promises = []
    for at, promised in enumerate(view.promises):
        fact = promised.record.fact
        promises.append(
            {"id": promised.id, "what": fact.what, "whom": fact.whom, "until_on": fact.until_on,
             "promised_on": fact.promised_on, "kept_on": fact.kept_on, "state": promised.state,
             "days_late": promised.days_late, "text": fact.text}
        )  # fmt: skip
        if fact.until_on is None:
            why[f"promises.{at}.until_on"] = say("no day was named")
        if fact.kept_on is None:
            why[f"promises.{at}.kept_on"] = say("it is not kept yet")
    questions = []
    for at, asked in enumerate(view.questions):
        question = asked.record.fact
        questions.append(
            {"id": asked.id, "question": question.question, "whom": question.whom,
             "asked_on": question.asked_on, "answer": question.answer,
             "answered_on": question.answered_on, "state": asked.state,
             "days_late": asked.days_late, "text": question.text}
        )  # fmt: skip
        if question.answered_on is None:
            why[f"questions.{at}.answered_on"] = say("nobody answered yet")
    sales = [
        {"id": one.id, "whom": one.record.fact.whom, "sold_on": one.record.fact.posted_on,
         "amount": float(one.record.fact.amount), "of": one.record.fact.currency,
         "came": float(one.came), "due": float(one.due), "state": one.state}
        for one in view.sales
    ]  # fmt: skip
    return {
        "schema": AFTER_SCHEMA, "lot_name": view.lot_name, "machine_name": view.machine_name,
        "on": view.on, "sales": sales, "promises": promises, "questions": questions, "due": due,
        "law": view.law, "cautions": list(view.cautions), "currency": view.currency, "why": why,
    }  # fmt: skip
