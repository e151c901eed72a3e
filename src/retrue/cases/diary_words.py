"""What a kept record, its fields and its codes are called on a page: no names of ours, no JSON."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import later, say

SORTS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "note": (later("notes"), ("note",)),
    "file": (later("photographs and files"), ("file",)),
    "found": (later("what was found"), ("finding", "hunch", "guess", "trouble", "asked", "moved")),
    "measured": (
        later("readings and results"),
        ("reading_set", "reading", "result", "own_limit", "instrument", "sensed", "sensed_result"),
    ),
    "done": (
        later("what was done"),
        ("act", "trial", "part_moved", "card_marked", "cleaned", "clean_reading", "ticked"),
    ),
    "apart": (later("as found and apart"), ("as_found", "taken", "put_back")),
    "moved": (
        later("moved and at rest"),
        ("planned", "data_copy", "move_step", "arrived", "laid_up", "round"),
    ),
    "power": (
        later("first power"),
        ("signed", "stage_begun", "stage_reading", "stage_ended", "cause_found", "watch_begun",
         "watch_readings", "watch_called", "watch_ended"),
    ),
    "bought": (
        later("who owes what, and the plan"),
        ("quoted", "out", "rung", "out_ended", "chosen", "worker", "gear", "stock", "plan_kept"),
    ),
    "money": (
        later("the book and hours"),
        ("posting", "day_rate", "books_closed", "hours_told", "clock_rung", "run_figure"),
    ),
    "sale": (
        later("the sale"),
        ("for_sale", "offered", "included", "record_given", "promised", "buyer_asked",
         "case_closed", "ledger_taken"),
    ),
    "lot": (
        later("lots, machines and bids"),
        ("lot", "machine", "terms", "plate", "cost_line", "frozen", "outcome", "catalogue",
         "catalogue_content", "screening", "share", "part_screened", "bidder", "budget",
         "row_taken"),
    ),
    "shop": (
        later("my shop"),
        ("shop", "need", "alternative", "device_joined", "backed_up", "set_aside"),
    ),
    "back": (later("what was taken back"), ("withdrawn",)),
}  # fmt: skip
"""Sorts of things by which the diary is looked through: what they are called, and their kinds."""

KIND_WORDS: Mapping[str, str] = {
    "shop": later("my shop"),
    "need": later("what it must do"),
    "alternative": later("what else would do"),
    "lot": later("a lot"),
    "terms": later("what the sale costs"),
    "machine": later("a machine"),
    "plate": later("what is stamped on it"),
    "finding": later("what was found"),
    "cost_line": later("a cost of my own"),
    "file": later("a photograph or file"),
    "note": later("a note"),
    "asked": later("asked of the seller"),
    "moved": later("what it did to the price"),
    "frozen": later("the frozen price"),
    "outcome": later("what came of the bid"),
    "instrument": later("an instrument"),
    "reading_set": later("a test begun"),
    "reading": later("a reading"),
    "result": later("a result"),
    "own_limit": later("a limit of my own"),
    "trouble": later("what it does"),
    "hunch": later("a hunch"),
    "trial": later("tried again"),
    "act": later("work done"),
    "part_moved": later("a part that moved"),
    "signed": later("a stop point signed"),
    "guess": later("a guess"),
    "planned": later("a calculation"),
    "data_copy": later("a copy of data"),
    "move_step": later("a step of the move"),
    "arrived": later("the arrival"),
    "laid_up": later("laid up"),
    "round": later("a round"),
    "as_found": later("as found"),
    "ticked": later("a tick"),
    "cleaned": later("a place cleaned"),
    "clean_reading": later("a reading of cleaning"),
    "taken": later("taken off"),
    "put_back": later("put back"),
    "stage_begun": later("a stage begun"),
    "stage_reading": later("a reading of a stage"),
    "stage_ended": later("a stage ended"),
    "cause_found": later("a cause found"),
    "watch_begun": later("a run-in watch begun"),
    "watch_readings": later("readings of a watch"),
    "watch_called": later("a call of a watch"),
    "watch_ended": later("a run-in watch ended"),
    "sensed": later("sound, vibration or light"),
    "sensed_result": later("what the sound, vibration or light says"),
    "chosen": later("what was chosen"),
    "quoted": later("a price by a vendor"),
    "out": later("something awaited"),
    "rung": later("a call about it"),
    "out_ended": later("it came, or was called off"),
    "card_marked": later("a job card marked"),
    "worker": later("a pair of hands"),
    "gear": later("lifting gear or floor"),
    "stock": later("on the shelf"),
    "plan_kept": later("a plan"),
    "posting": later("a line in the book"),
    "day_rate": later("a rate of the day"),
    "books_closed": later("the book closed"),
    "hours_told": later("own hours"),
    "clock_rung": later("the clock"),
    "run_figure": later("a figure of running it"),
    "for_sale": later("offered for sale"),
    "offered": later("an offer"),
    "included": later("what goes with it"),
    "record_given": later("a condition record given away"),
    "promised": later("a promise"),
    "buyer_asked": later("a question of a buyer"),
    "case_closed": later("a machine done with"),
    "ledger_taken": later("closed machines of others"),
    "catalogue": later("a catalogue"),
    "catalogue_content": later("the file of a catalogue"),
    "screening": later("a catalogue screened"),
    "share": later("a part of a catalogue"),
    "part_screened": later("what a part of a catalogue says"),
    "bidder": later("who bids"),
    "budget": later("what several bids may take"),
    "row_taken": later("taken out of a catalogue"),
    "device_joined": later("a device that may come in"),
    "backed_up": later("a backup"),
    "set_aside": later("something said in two ways"),
    "withdrawn": later("taken back"),
}
"""Of each kind of record what it is called."""


def kind_word(kind: str) -> str:
    """What a kind of record is called.

    Parameters
    ----------
    kind : str
        Its name.

    Returns
    -------
    str

    Examples
    --------
    >>> kind_word("posting"), kind_word("day_of_rest")
    ('a line in the book', 'day of rest')
    """
    return say(KIND_WORDS.get(kind, kind.replace("_", " ")))


def kinds_of_sort(sort: str) -> frozenset[str]:
    """The kinds of one sort of thing.

    Parameters
    ----------
    sort : str
        One of `SORTS`.

    Returns
    -------
    frozenset of str
        None where there is no such sort.

    Examples
    --------
    >>> sorted(kinds_of_sort("apart"))
    ['as_found', 'put_back', 'taken']
    """
    return frozenset(SORTS[sort][1]) if sort in SORTS else frozenset()
