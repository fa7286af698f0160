"""The options that several commands have in common."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def _choose_shop(context: click.Context, parameter: click.Parameter, value: str | None) -> Any:
    """Keep the folder named anywhere on the command line; the last one counts."""
    if value is not None:
        context.obj.shop = value
    return context.obj


shop_option = click.option(
    "--shop",
    metavar="FOLDER",
    callback=_choose_shop,
    help="The shop folder. Without it: the folder in BAYCOMPANION_SHOP, or your own data folder.",
)


def json_option(what: str) -> Callable[[F], F]:
    """Return the option that prints `what` for a program to read."""
    return click.option("--json", "as_json", is_flag=True, help=f"Print {what} as JSON.")


def narrowing_options(command: F) -> F:
    """Give `command` the options that narrow which jobs an audit looks at."""
    since = "Only jobs with an event on this day or later, UTC."
    command = click.option(
        "--procedure", metavar="ID", help="Only jobs that follow this procedure."
    )(command)
    command = click.option(
        "--by", metavar="STAFF-ID", help="Only jobs with an event by this person."
    )(command)
    return click.option("--since", metavar="DATE", help=since)(command)


def _choose_plain(context: click.Context, parameter: click.Parameter, value: bool) -> None:
    """Keep the wish for lines of text, wherever on the command line it stands."""
    context.obj.plain = context.obj.plain or value


plain_option = click.option(
    "--plain",
    is_flag=True,
    expose_value=False,
    callback=_choose_plain,
    help="Line by line, for a screen reader or a simple terminal; takes its lines from a pipe too.",
)
