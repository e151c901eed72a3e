"""What a part of a catalogue says as text and back: the same rows give the same bytes for good."""

from __future__ import annotations

from dataclasses import replace

import msgspec

from retrue.base.recalled import recall
from retrue.base.refusals import Unreadable
from retrue.base.say import english, say
from retrue.cases.screen.parts import PartDone
from retrue.cases.screen.screened import ScreenedLot


def text_of(done: PartDone) -> str:
    """Write what a part says as canonical JSON.

    Parameters
    ----------
    done : PartDone
        Worked out in English.

    Returns
    -------
    str
        One line, sorted keys; equal rows give equal text.

    Examples
    --------
    >>> text_of(PartDone(number=2, rows=()))
    '{"number":2,"rows":[]}'
    """
    return msgspec.json.encode(done, order="sorted", enc_hook=english).decode()


def done_of(text: str) -> PartDone:
    """Read what `text_of` wrote.

    Parameters
    ----------
    text : str
        Of a record, of a line of a file.

    Returns
    -------
    PartDone
        Its sentences are said in the language of who reads them.

    Raises
    ------
    Unreadable
        It is no text of that form.

    Examples
    --------
    >>> done_of('{"number":2,"rows":[]}')
    PartDone(number=2, rows=())
    """
    try:
        done = msgspec.json.decode(text, type=PartDone)
    except msgspec.DecodeError as wrong:
        raise Unreadable(
            say("what a part of a catalogue says cannot be read: {why}", why=wrong),
            remedy=say("Update the program if a newer version wrote it; else screen it again."),
        ) from None
    return replace(done, rows=tuple(map(_in_words, done.rows)))


def _in_words(row: ScreenedLot) -> ScreenedLot:
    return replace(
        row,
        why=recall(row.why),
        assumed=tuple(map(recall, row.assumed)),
        ask=tuple(replace(one, text=recall(one.text)) for one in row.ask),
    )
