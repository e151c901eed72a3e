"""Pages by their names: each is loaded when it is first asked for, as a command is.

All of them together load most of the program, and the first page shall not wait for that. What is
loaded while the server answers is loaded in turn: a thread never sees what another has half made.
"""

from __future__ import annotations

import importlib
import threading
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

Page = Callable[..., Awaitable[Response]]

in_turn = threading.RLock()
_named: dict[str, None] = {}  # modules that some page lives in, in the order of the job
_ready: set[str] = set()


def page(name: str) -> Page:
    """A page that is loaded when somebody asks for it.

    Parameters
    ----------
    name : str
        Its module below `retrue.web` and its function: ``note:show_notes``.

    Returns
    -------
    callable
        Answers as the function does; ``loaded`` gives the function.

    Examples
    --------
    >>> page("note:show_notes").__qualname__
    'note:show_notes'
    """
    module = name.partition(":")[0]
    _named[module] = None

    async def called(*given: Any) -> Response:
        found = loaded(name) if module in _ready else await run_in_threadpool(loaded, name)
        return await found(*given)

    called.__name__, called.__qualname__ = name.partition(":")[2], name
    return called


def loaded(name: str) -> Page:
    """The function of a page, its module loaded by now.

    Parameters
    ----------
    name : str
        As for ``page``.

    Returns
    -------
    callable

    Examples
    --------
    >>> loaded("note:show_notes").__doc__
    'One photograph and/or one sentence; below it what was noted, the newest first.'
    """
    module, _, function = name.partition(":")
    made: Page = getattr(_loaded(module), function)
    return made


def load_all() -> None:
    """Load what is not loaded yet, one module after the other: whoever asks waits for one."""
    for module in tuple(_named):
        _loaded(module)


def _loaded(module: str) -> Any:
    with in_turn:
        made = importlib.import_module(f"retrue.web.{module}")
        _ready.add(module)
    return made
