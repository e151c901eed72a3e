"""Opening the pages: on this laptop, or for the phone on the shop's network too."""

from __future__ import annotations

from pathlib import Path

import click

from retrue.base.say import say
from retrue.cli.house import House
from retrue.cli.options import shop_option


@click.command("open")
@click.option("--lan", is_flag=True, help="Let the phone in: shows a code to scan, good once.")
@click.option(
    "--tls",
    is_flag=True,
    help="As --lan, behind the shop's own certificate, which each phone installs once.",
)
@click.option(
    "--port",
    type=click.IntRange(1, 65533),
    default=8314,
    show_default=True,
    help="Where to listen.",
)
@click.option(
    "--logger",
    "loggers",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A logger's CSV file, or the folder it writes to, that a run-in watch may follow.",
)
@click.option(
    "--demo",
    is_flag=True,
    help="Look round in an invented lot, in a shop of its own that is thrown away.",
)
@shop_option
@click.pass_obj
def open_(
    house: House,
    lan: bool,
    tls: bool,
    port: int,
    loggers: tuple[Path, ...],
    demo: bool,
    shop: str | None,
) -> None:
    """Open the pages; end with Ctrl-C.

    Without --lan only this laptop is answered. With it, plain http is spoken on the shop's own
    network, and only paired phones are answered. With --tls phones are answered behind the shop's
    own certificate, on the port after --port; the port after that gives them the certificate.
    Then their pages open without a connection too, and a screen can be kept on. With --demo your
    own shop stays shut; what is done in the invented one is thrown away in the end.
    """
    if not demo:
        house.serve(shop, lan, port, loggers, tls=tls)
        return
    if shop is not None:
        raise click.UsageError("--demo opens a shop of its own: leave --shop out.")
    # Only this needs the walk; opening one's own shop shall not wait for it.
    from retrue.cli.demo_shop import invented

    with invented(house) as place:
        banner = say("Invented: nothing on this page is true, and nothing you do here is kept.")
        house.serve(place, lan, port, loggers, tls=tls, banner=banner)
