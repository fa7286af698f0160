"""The command line of looking back: `audit`, `review`, `export` and `seal`."""

from datetime import UTC, datetime
from typing import Literal

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import json_option, narrowing_options, plain_option, shop_option


@click.command()
@click.argument("folders", metavar="[FOLDER]...", nargs=-1)
@narrowing_options
@click.option("--phases", is_flag=True, help="Tell how long each phase took, and no findings.")
@click.option("--html", metavar="FILE", help="Write the findings, or the charts, as a page.")
@click.option(
    "--thorough",
    "trust",
    flag_value="hashes",
    help="Trust no size and no time of a file: read and hash every one again.",
)
@click.option(
    "--no-index",
    "trust",
    flag_value="nothing",
    help="Take nothing from an audit before, and keep nothing for the next.",
)
@click.option(
    "--open", "only_open", is_flag=True, help="Leave out what somebody has looked at already."
)
@click.option(
    "--draw",
    type=click.IntRange(0, 1000),
    metavar="N",
    help="Add which vehicles to look at: jobs with an override, and N clean ones by lot.",
)
@click.option(
    "--engine",
    type=click.Choice(["duckdb", "spark"]),
    help="Tell about all shops together what this query engine answers, and no findings.",
)
@json_option("the findings, the times, or the answers,")
@shop_option
def audit(
    shop: Chosen,
    folders: tuple[str, ...],
    phases: bool,
    html: str | None,
    trust: Literal["hashes", "nothing"] | None,
    only_open: bool,
    draw: int | None,
    engine: Literal["duckdb", "spark"] | None,
    as_json: bool,
    **only: str | None,
) -> int:
    """Look whether the records of a shop are still what they were, and say what to look at.

    FOLDER... are shop folders; without one, it is the shop of --shop. For every job the events are
    folded again, their chain is checked, and the record is compared with them, with the ledger,
    and the ledger with the folder. No record is touched; an index beside them makes the next audit
    quick, and can be deleted at any time. The exit code is 0 where nothing is
    found, 1 with findings, and 2 if something could not be read; the rest is audited all the same.

    With --engine, FOLDER... may also hold tables that export wrote. This needs one more library:
    baycompanion[duckdb] or baycompanion[spark].
    """
    if engine is not None:
        if phases or html is not None or trust is not None or only_open or draw is not None:
            told = "--engine prints its answers. Leave the other ways of telling and reading out."
            raise click.UsageError(told)
        from baycompanion.commands.cross_shop import answer_across

        return answer_across(shop, folders, engine, as_json, **only, now=datetime.now(UTC))
    if phases and (trust is not None or only_open or draw is not None):
        told = "--phases reads the heads of the records alone. Leave the other ways of reading out."
        raise click.UsageError(told)
    if phases:
        from baycompanion.commands.phase_times import tell_phase_times

        return tell_phase_times(shop, folders, as_json, html, **only, now=datetime.now(UTC))
    from baycompanion.commands.audit import audit_shops

    now = datetime.now(UTC)
    return audit_shops(
        shop, folders, as_json, html, trust or "stamps", only_open, draw, **only, now=now
    )


@click.command()
@click.argument("folders", metavar="[FOLDER]...", nargs=-1)
@plain_option
@shop_option
def review(shop: Chosen, folders: tuple[str, ...]) -> int:
    """Look through what an audit finds, and put a supervisor's word beside it.

    FOLDER... are shop folders; without one, it is the shop of --shop. The gates come first, then
    the findings by weight. Anybody may look; a finding is marked as looked at, and a gate decided
    about, with a supervisor's id and PIN. The words are kept in review.jsonl of the shop; no record
    is touched. With --plain it is read line by line anywhere.
    """
    from baycompanion.commands.review import review_shops

    return review_shops(shop, folders)


@click.command()
@click.argument("folders", metavar="[FOLDER]...", nargs=-1)
@click.option("--ndjson", metavar="FOLDER", help="Write a JSON object a line into this folder.")
@click.option("--parquet", metavar="FOLDER", help="Write Parquet files into this folder.")
@narrowing_options
@shop_option
def export(
    shop: Chosen,
    folders: tuple[str, ...],
    ndjson: str | None,
    parquet: str | None,
    **only: str | None,
) -> int:
    """Write what an audit sees of shops as flat tables, which any query engine reads.

    FOLDER... are shop folders; without one, it is the shop of --shop. The folder with the tables is
    new, or holds tables that were exported before, which are replaced once the new ones are whole.
    For --parquet one more library is needed: baycompanion[duckdb]. The exit code is 0, or 2 if
    something could not be read; the rest is exported all the same.
    """
    from baycompanion.commands.export import export_tables

    return export_tables(shop, folders, ndjson, parquet, **only, now=datetime.now(UTC))


@click.command()
@click.option("--new-key", metavar="STAFF-ID", help="Make a key for this supervisor, and no seal.")
@click.option("--key", metavar="FILE", help="The private key. Without it: among your own data.")
@click.option(
    "--pass-phrase-fd",
    "descriptor",
    type=int,
    metavar="NUMBER",
    help="Read the pass phrase from this file descriptor instead of the terminal.",
)
@shop_option
def seal(shop: Chosen, new_key: str | None, key: str | None, descriptor: int | None) -> int:
    """Sign the ledger of the shop as it stands, with the key of a supervisor.

    The seal becomes an entry of the ledger. An audit checks it with the public key, which lies in
    the folder seals of the shop; the private key stays with the supervisor, under a pass phrase.
    Whoever has a PIN gives it to have a key made. This needs one more library: baycompanion[seal].
    """
    from baycompanion.commands.seal import seal_or_make_key

    return seal_or_make_key(shop, new_key, key, descriptor, datetime.now(UTC))
