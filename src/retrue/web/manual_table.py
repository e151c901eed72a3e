"""Which section of the manual tells of which page of the program."""

from __future__ import annotations

from functools import lru_cache

from retrue.base.manual_files import manual

_LOT = "/lots/{}"
_MACHINE = _LOT + "/machines/{}"
NAMED = "#*"  # the section of what the last part of the address names

SECTIONS = {
    "/": "first-evening",
    "/lots/new": "worth#a-price-at-once",
    _LOT: "worth#a-price-at-once",
    "/screen": "screen",
    "/screen/{}": "screen#price-every-lot",
    "/screen/{}/columns": "screen#read-it",
    "/screen/{}/read": "screen#read-it",
    "/screen/{}/lot": "screen#one-lot",
    "/screen/{}/bids": "screen#several-bids",
    _LOT + "/terms": "price",
    _LOT + "/machines": "kinds",
    _LOT + "/pictures": "worth#make-it-better-one-tap-at-a-time",
    _LOT + "/findings": "worth#make-it-better-one-tap-at-a-time",
    _LOT + "/message": "worth#before-the-bidding",
    _LOT + "/call": "worth#before-the-bidding",
    _LOT + "/visit": "worth#before-the-bidding",
    "/visits": "worth#before-the-bidding",
    _LOT + "/costs": "price",
    _LOT + "/freeze": "worth#before-the-bidding",
    _LOT + "/settle": "cost",
    _MACHINE: "first-evening",
    _MACHINE + "/facts": "worth#make-it-better-one-tap-at-a-time",
    _MACHINE + "/plate": "worth#make-it-better-one-tap-at-a-time",
    _MACHINE + "/looks": "worth#make-it-better-one-tap-at-a-time",
    _MACHINE + "/find": "find",
    _MACHINE + "/find/learned": "find#what-it-teaches",
    _MACHINE + "/find/{}": "find#what-a-step-is-compared-by",
    _MACHINE + "/find/{}/answers": "find#what-i-tried",
    "/practice": "find#the-practice-machine",
    _MACHINE + "/move": "move#the-whole-move-of-a-machine",
    _MACHINE + "/move/data": "move#before-the-plug-is-pulled",
    _MACHINE + "/move/{}": "move" + NAMED,
    _MACHINE + "/arrival": "move#when-it-has-come",
    _MACHINE + "/rest": "move#while-it-waits",
    _MACHINE + "/strip": "strip",
    _MACHINE + "/strip/night": "strip#the-first-night",
    _MACHINE + "/strip/evening": "strip#the-first-night",
    _MACHINE + "/strip/places": "strip#three-gates",
    _MACHINE + "/strip/apart": "strip#labels",
    _MACHINE + "/strip/remaining": "strip#labels",
    _MACHINE + "/strip/cleaning": "strip#clean-is-what-is-proved",
    _MACHINE + "/strip/files": "move#before-the-plug-is-pulled",
    "/labels": "strip#labels",
    _MACHINE + "/wake": "wake#the-stages",
    _MACHINE + "/wake/stages": "wake#what-opens-a-stage-and-what-keeps-it-closed",
    _MACHINE + "/wake/watch": "wake#the-run-in-watch",
    _MACHINE + "/wake/reckon/{}": "wake" + NAMED,
    _MACHINE + "/prove": "prove#sound-vibration-light",
    _MACHINE + "/prove/reckon/{}": "prove" + NAMED,
    _MACHINE + "/measure": "prove#the-order-of-work",
    _MACHINE + "/measure/limits": "prove#limits-and-what-is-proved",
    _MACHINE + "/measure/{}": "prove" + NAMED,
    "/measure": "prove#three-doors-one-answer",
    "/sets": "prove#three-doors-one-answer",
    "/sets/{}/result": "prove#limits-and-what-is-proved",
    "/instruments": "prove#what-you-measure-with",
    "/fix": "fix#two-lists-before-any-chart",
    "/fix/plan": "fix#when-it-will-cut",
    "/fix/cards": "fix#job-cards",
    "/fix/hands": "fix#hands-and-gear",
    "/fix/gear": "fix#hands-and-gear",
    "/fix/buy": "fix#what-to-buy",
    "/fix/quote": "fix#what-to-buy",
    _MACHINE + "/fix": "fix#options",
    _MACHINE + "/fix/together": "fix#while-youre-in-there",
    _MACHINE + "/fix/extras": "fix#extras",
    _MACHINE + "/fix/cards": "fix#job-cards",
    _MACHINE + "/fix/match/{}": "match" + NAMED,
    "/settle": "settle#in-the-order-of-the-job",
    "/settle/book": "book",
    "/settle/post": "book#what-can-happen",
    "/settle/import": "book-import",
    "/settle/rates": "book#rates",
    "/settle/lock": "book#correct-take-back-close",
    "/settle/hours": "hours",
    "/settle/check": "condition-record#checked",
    "/settle/share": "settle#closed-machines-without-names",
    _MACHINE + "/settle/cost": "cost",
    _MACHINE + "/settle/rate": "worth-it#an-hour-of-it",
    _MACHINE + "/settle/versus": "worth-it#was-it-worth-it",
    _MACHINE + "/settle/sell": "selling",
    _MACHINE + "/settle/record": "condition-record",
    _MACHINE + "/settle/after": "selling#the-sale-and-after-it",
    _MACHINE + "/settle/close": "settle#closing",
    "/given": "condition-record#given-away",
    "/shop": "settings",
    "/shop/keeping": "keeping",
    "/shop/devices": "phone#devices",
    "/pair": "phone#pairing",
    "/floor": "phone#three-roles",
    "/note": "first-evening",
    "/kept": "search#what-was-kept",
    "/search": "search#search",
    "/twice": "two-at-once#two-on-one-form",
    "/offline": "two-at-once#when-the-laptop-does-not-answer",
}
"""By the beginning of an address, the longest counts; {} stands for any one part of it."""


@lru_cache(maxsize=512)
def section_of(path: str) -> str:
    """Where the manual tells of a page.

    Parameters
    ----------
    path : str
        Address of the page, or the pattern of a route.

    Returns
    -------
    str
        Address of the section; of the manual itself where no section tells of it.

    Examples
    --------
    >>> section_of("/lots/7/machines/2/move/lift"), section_of("/nowhere")
    ('/help/move#lift-lift', '/help')
    """
    asked = [part for part in path.split("/") if part]
    fits = [(told, target) for told, target in SECTIONS.items() if _begins(asked, told)]
    if not fits:
        return "/help"
    told, target = max(fits, key=lambda pair: (pair[0].count("/"), -pair[0].count("{}")))
    page, named, _ = target.partition(NAMED)
    if named:
        return f"/help/{page}{_named(page, asked[told.count('/') - 1])}"
    return f"/help/{target}"


def _begins(asked: list[str], told: str) -> bool:
    """Whether an address begins so; only the first page of all is itself alone."""
    parts = [part for part in told.split("/") if part]
    if not parts:
        return not asked
    alike = zip(asked, parts, strict=False)
    return len(asked) >= len(parts) and all(part in ("{}", mine) for mine, part in alike)


def _named(page: str, name: str) -> str:
    ends = f": {name}"
    marks = (f"#{one.anchor}" for one in manual().sections
             if one.page == page and one.words.endswith(ends))  # fmt: skip
    return next(marks, "")
