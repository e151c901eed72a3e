"""A sale for the terminal: cautions, ask and take, next, states, what each deed adds, offers."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import money, number, odds
from retrue.base.say import say
from retrue.cases.fix.amounts import about, days_words
from retrue.cases.settle.after import AfterSale, DueLine
from retrue.cases.settle.sale_lines import AddRow, Sale, SellDays, StateRow
from retrue.cases.settle.sale_words import brings_words, state_words, verdict
from retrue.cli.lines import table
from retrue.cli.strip_options import caution_lines

LONGEST = 40  # of words in a table
ROWS = 10  # of what adds, where all were not asked for


def sale_lines(sale: Sale, *, whole: bool = False) -> Iterator[str]:
    """Everything of one sale, cautions first.

    Parameters
    ----------
    sale : Sale
    whole : bool
        Every deed and every figure.

    Yields
    ------
    str
        One line each.
    """
    yield from caution_lines(sale.cautions)
    yield from _answer(sale)
    yield ""
    yield from _next(sale)
    yield ""
    yield from _states(sale)
    yield ""
    yield from _adds(sale, whole)
    if sale.offers:
        yield ""
        yield from offer_lines(sale)
    if sale.donor is not None:
        yield ""
        yield say("{words} That saves about {sum}.", words=sale.donor.words,
                  sum=about(sale.donor.saves.p50, sale.currency))  # fmt: skip
    yield ""
    yield from _fine(sale, whole)


def _answer(sale: Sale) -> Iterator[str]:
    one, cur = sale.answer, sale.currency
    if sale.sold:
        yield say("{machine} is sold: {words}.", machine=sale.machine_name, words=sale.sold)
        return
    yield say(
        "{machine}, {state}: ask {ask}, take {take} now, let it go at {dump} after {day}.",
        machine=sale.machine_name, state=_stands(sale), ask=money(one.ask, cur),
        take=money(one.take, cur), dump=money(one.dump, cur), day=sale.by_on,
    )  # fmt: skip
    if one.days is not None:
        yield days_line(one.days)
    yield say(
        "A month of waiting costs about {total}: floor {floor}, round {round}, own hours {hours}, "
        "capital {capital}.",
        total=about(sale.month.total, cur), floor=about(sale.month.floor, cur),
        round=about(sale.month.round, cur), hours=about(sale.month.hours, cur),
        capital=about(sale.month.capital, cur),
    )  # fmt: skip
    if sale.waits:
        yield say("Waiting for offers is worth about {sum} more than letting it go at once.",
                  sum=about(sale.worth_waiting, cur))  # fmt: skip
    else:
        yield say("Waiting does not pay: let it go at once.")
    if sale.kept is not None:
        fact = sale.kept.fact
        set_ = [("ask", fact.ask), ("take", fact.take), ("let go", fact.dump)]
        told = ", ".join(f"{say(name)} {money(sum, cur)}" for name, sum in set_ if sum is not None)
        yield say("You set: {told}.", told=told)


def _stands(sale: Sale) -> str:
    words = state_words(sale.state)
    return say("{state}, for parts or repair", state=words) if sale.stops else words


def days_line(days: SellDays) -> str:
    """How long it takes, as a range, and the chance that it does not go.

    Examples
    --------
    >>> days_line(SellDays(p10=15, p50=100, p90=None, unsold=0.2))
    'Sold most likely in 3 months; with luck in 2 weeks; not by the last day: about 1 in 5.'
    """
    return say(
        "Sold most likely in {even}; with luck in {early}; not by the last day: {odds}.",
        even=_days(days.p50), early=_days(days.p10), odds=odds(days.unsold),
    )  # fmt: skip


def _days(days: int | None) -> str:
    return say("more time than there is") if days is None else days_words(float(days))


def _next(sale: Sale) -> Iterator[str]:
    one, whole, cur = sale.next, sale.together, sale.currency
    if sale.sold:
        yield say("Next: what was promised and asked: retrue settle promise, settle asked.")
        return
    if one is None or whole is None:
        words = say("list it for parts or repair") if sale.stops else say("sell it as it stands")
        yield say("Next: {words}; all that it takes to sell it better does not pay.", words=words)
        return
    said = say("Next: {words}", words=one.words)
    if sale.stops:
        yield say("Next: clear what is open, {count} stop items and guards; until then it goes for "
                  "parts or repair only.", count=len(sale.stops))  # fmt: skip
        said = say("Then: {words}", words=one.words)
    yield say("{said}: adds about {adds} for about {money} and {hours} h.", said=said,
              adds=about(one.adds_mean, cur), money=about(one.money, cur),
              hours=number(one.hours))  # fmt: skip
    yield say(
        "All that pays, done together ({state}): about {gain} ahead of selling it as it stands, "
        "for about {money} and {hours} h. {verdict}",
        state=state_words(whole.state), gain=about(whole.gain.alternative, cur),
        money=about(whole.money, cur), hours=number(whole.hours), verdict=whole.words,
    )  # fmt: skip


def _states(sale: Sale) -> Iterator[str]:
    cur = sale.currency
    heads = (say("state"), say("brings"), say("ask"), say("take"), say("costs still"),
             say("left", sense="what stays"))  # fmt: skip
    yield from table([heads, *(_state(one, cur) for one in sale.states)])
    best = next(one for one in sale.states if one.id == sale.best)
    yield say(
        "Left: what comes in less what still goes out, your hours at what they earn elsewhere. "
        "Most is left {state}: {zero} with hours at nothing, {full} at the full rate.",
        state=state_words(best.id), zero=about(best.net.zero, cur), full=about(best.net.full, cur),
    )  # fmt: skip
    for one in sale.states:
        if one.why_not:
            yield f"  {state_words(one.id)}: {one.why_not}"


def _state(one: StateRow, cur: str) -> tuple[str, ...]:
    return (
        state_words(one.id), about(one.brings.p50, cur), money(one.ask, cur),
        money(one.take, cur), _costs(one.money, one.hours, cur), about(one.net.alternative, cur),
    )  # fmt: skip


def _costs(sum: float, hours: float, cur: str) -> str:
    return say(
        "{sum} and {hours} h", sum=about(sum, cur), hours=number(hours, 0 if hours >= 10 else 1)
    )


def _adds(sale: Sale, whole: bool) -> Iterator[str]:
    shown = sale.adds if whole else sale.adds[:ROWS]
    one_of = say("each {one}", one=money(1, sale.currency))
    heads = (say("what could be done"), say("adds"), say("costs"), one_of, "")
    yield from table([heads, *(_add(one, sale.currency) for one in shown)])
    if sale.together is not None:
        yield say(
            "What each {one} brings counts own hours; each deed beside all others that pay, "
            "{state}.",
            one=money(1, sale.currency),
            state=state_words(sale.together.state),
        )
    if len(sale.adds) > len(shown):
        yield say("And {count} more, each adding less for its money: --all.",
                  count=len(sale.adds) - len(shown))  # fmt: skip


def _add(one: AddRow, cur: str) -> tuple[str, ...]:
    return (
        _short(one.words), about(one.adds_mean, cur), _costs(one.money, one.hours, cur),
        brings_words(one, cur), verdict(one),
    )  # fmt: skip


def _short(words: str) -> str:
    return words if len(words) <= LONGEST else words[: LONGEST - 1].rstrip() + "…"


def offer_lines(sale: Sale) -> Iterator[str]:
    """Every offer, the highest open one first, with what to answer.

    Parameters
    ----------
    sale : Sale

    Yields
    ------
    str
    """
    answered = {"taken": say("taken"), "refused": say("refused"), "waiting": say("kept warm")}
    for one in sale.offers:
        fact = one.record.fact
        told = say("{whom}, {day}: {sum}.", whom=fact.whom, day=fact.offered_on,
                   sum=money(fact.amount, fact.currency, 2))  # fmt: skip
        if fact.answer in ("taken", "refused"):
            yield f"{told} {say('You answered: {word}.', word=answered[fact.answer])}"
        else:
            yield f"{told} {one.words}"


def _fine(sale: Sale, whole: bool) -> Iterator[str]:
    yield say("Estimate for planning: a price asked is no promise, and the days are a range.")
    if whole:
        for one in sale.figures:
            value = one.value
            told = " ".join(f"{100 * part:.0f}" for part in (value.low, value.likely, value.high))
            yield say("{words}: {told} % ({mark}{not_used})", words=one.words, told=told,
                      mark=one.mark, not_used="" if one.applies else say("; not used"))  # fmt: skip
    yield say("Seed {seed}, {worlds} ways tried.", seed=sale.seed, worlds=sale.worlds)


def after_lines(view: AfterSale) -> Iterator[str]:
    """What comes after the sale of one machine.

    Parameters
    ----------
    view : AfterSale

    Yields
    ------
    str
    """
    yield view.law
    yield from caution_lines(view.cautions)
    for sold in view.sales:
        fact = sold.record.fact
        yield say("Sold to {whom} on {day} for {sum}; came {came}, due {due}.", whom=fact.whom,
                  day=fact.posted_on, sum=money(fact.amount, fact.currency, 2),
                  came=money(sold.came, fact.currency, 2),
                  due=money(sold.due, fact.currency, 2))  # fmt: skip
    yield from due_lines(view.due)
    answered = [one.record.fact for one in view.questions if one.state == "answered"]
    for said in answered:
        if said.text:
            yield say("{whom} asked: {question} Answered, not proved: “{answer}”. {open}",
                      whom=said.whom, question=said.question, answer=said.answer,
                      open=said.text)  # fmt: skip
    kept = sum(one.state == "kept" for one in view.promises)
    yield say("Kept: {promises}; answered: {questions}.", promises=promises_words(kept),
              questions=questions_words(len(answered)))  # fmt: skip


def promises_words(count: int) -> str:
    """How many promises, in words.

    Examples
    --------
    >>> [promises_words(count) for count in (0, 1, 2)]
    ['no promise', '1 promise', '2 promises']
    """
    if count == 0:
        return say("no promise")
    return say("1 promise") if count == 1 else say("{count} promises", count=count)


def questions_words(count: int) -> str:
    """How many questions, in words.

    Examples
    --------
    >>> [questions_words(count) for count in (0, 1, 2)]
    ['no question', '1 question', '2 questions']
    """
    if count == 0:
        return say("no question")
    return say("1 question") if count == 1 else say("{count} questions", count=count)


def due_lines(due: tuple[DueLine, ...]) -> Iterator[str]:
    """What is open, the latest first.

    Parameters
    ----------
    due : tuple of DueLine

    Yields
    ------
    str
    """
    for one in due:
        if one.days_left is None:
            when = say("no day named")
        elif one.days_left < 0:
            when = say("{days} days late", days=-one.days_left)
        else:
            when = say("by {day}", day=one.on)
        yield f"{one.machine_name}: {one.words} ({when})  {one.id}"
