"""The command line: what can be typed. What comes of it stands in `commands`.

Each command imports what it does when it runs: the models take 130 ms to load, the screens twice
that, and neither `--help` nor a typing error should wait for them.
"""

import sys
from datetime import UTC, datetime
from typing import Any, NoReturn

import click

from baycompanion import __version__
from baycompanion.cli_audit import audit, export, review, seal
from baycompanion.cli_authoring import changes, map_, new, preview
from baycompanion.cli_learning import drill, practice, trainees
from baycompanion.cli_staff import staff
from baycompanion.mishaps import Chosen, attend
from baycompanion.options import json_option as _json
from baycompanion.options import plain_option as _plain
from baycompanion.options import shop_option as _shop
from baycompanion.working.wall_clock import local_now


class Bay(click.Group):
    """The group of all commands, whose mishaps are told in one sentence."""

    def main(  # type: ignore[override] # it never returns, in whatever mode it is called
        self, args: Any = None, prog_name: str | None = None, **extra: Any
    ) -> NoReturn:
        """Run a command line and leave with its exit code."""
        chosen = Chosen()
        extra |= {"standalone_mode": False, "obj": chosen}
        name = prog_name or "baycompanion"
        sys.exit(attend(lambda: click.Group.main(self, args, name, **extra), chosen))


@click.group(
    "baycompanion",
    cls=Bay,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__)
@_plain
@_shop
@click.pass_context
def cli(context: click.Context, shop: Chosen) -> int | None:
    """Walk through a job on a vehicle: step by step, gated, timed and recorded.

    Without a command, the bay board opens: the jobs under way, and a key to start one. With
    --plain there is no screen: everything is read line by line, and answered by typing a line.
    """
    if context.invoked_subcommand is not None:
        return None
    from baycompanion.commands.board import open_board

    return open_board(shop)


@cli.command()
@click.argument("procedure")
@click.option("--work-order", required=True, help="The number on the work order.")
@click.option("--vehicle", required=True, help="The vehicle in a few words.")
@click.option("--vin", default="", help="Its vehicle identification number.")
@click.option("--plate", default="", help="Its licence plate.")
@click.option("--order", metavar="FILE", help="The order of the parts, a YAML file.")
@click.option("--earlier", metavar="JOB", help="The earlier job that the vehicle comes back from.")
@click.option("--by", metavar="STAFF-ID", help="Who takes the keys; not needed in a shop of one.")
@click.option("--mentor", metavar="STAFF-ID", help="Who stands beside a trainee.")
@_json("the new job")
@_plain
@_shop
def start(shop: Chosen, as_json: bool, **typed: str | None) -> int:
    """Take the keys in and start a job that follows PROCEDURE.

    PROCEDURE is the name of a procedure, like receiver-swap, or the path of its file. In a
    terminal, the job then opens on the screen; with --plain, it is read line by line anywhere.

    With --earlier, the record of that job lies beside the new one, and the condition sheets of both
    are compared. JOB is its name, the beginning of it, the path of its folder, or a work order, a
    plate or a VIN, of which a part is enough where it fits one ended job alone.
    """
    from baycompanion.commands.start import start_job

    return start_job(shop, typed, as_json, datetime.now(UTC))


@cli.command()
@click.option(
    "--find", metavar="TEXT", help="Only those that have TEXT in their plate, VIN or work order."
)
@_json("the list")
@_shop
def jobs(shop: Chosen, find: str | None, as_json: bool) -> int:
    """List the jobs of this shop, the newest first.

    With --find, blanks, hyphens and case in TEXT do not count.
    """
    from baycompanion.commands.jobs import list_all, list_found

    if find is not None:
        return list_found(shop, find, as_json, local_now())
    return list_all(shop, as_json, local_now())


@cli.command()
@click.argument("job")
@click.option("--by", metavar="STAFF-ID", help="Who works. Without it: whoever has the job.")
@_plain
@_shop
def resume(shop: Chosen, job: str, by: str | None) -> int:
    """Open JOB on the screen, where it was left; with --plain, line by line.

    JOB is the name of the job, the beginning of it, or its work order, plate or VIN.
    """
    from baycompanion.commands.resume import resume_job

    return resume_job(shop, job, by)


@cli.command()
@click.argument("job")
@click.option("--why", metavar="TEXT", help="Why it goes on by the newer revision; this moves it.")
@click.option("--by", metavar="STAFF-ID", help="Who moves it. Without it: whoever has the job.")
@_json("the changes")
@_shop
def revise(shop: Chosen, job: str, why: str | None, by: str | None, as_json: bool) -> int:
    """Say what a newer revision of its procedure changes in JOB, and move the job to it.

    Without --why nothing is moved: the changes are only listed. A job keeps the revision that it
    began with until somebody moves it. What was done and is asked otherwise is done again; both
    answers are kept. JOB is the name of the job, the beginning of it, or its work order, plate or
    VIN.
    """
    from baycompanion.commands.revise import revise_job

    return revise_job(shop, job, why, by, as_json, datetime.now(UTC))


@cli.command()
@click.argument("job")
@_json("the record, and write no file,")
@_shop
def record(shop: Chosen, job: str, as_json: bool) -> int:
    """Write the record of JOB into its folder, and say where it lies.

    The record of a job that is still under way is marked as provisional. JOB is the name of the
    job, the beginning of it, or its work order, plate or VIN.
    """
    from baycompanion.commands.record import make

    return make(shop, job, as_json)


@cli.command()
@click.argument("job")
@_plain
@_shop
def timeline(shop: Chosen, job: str) -> int:
    """Tell what the hours of JOB went to, phase by phase, and what happened when.

    In a terminal the phases are drawn as bars on the hours of the day, with pauses, gates and
    overrides; below stands the list of all that is marked. With --plain, or where the output goes
    elsewhere, the phases are told in lines. The times of day are those of this machine's zone.
    JOB is the name of the job, the beginning of it, or its work order, plate or VIN.
    """
    from baycompanion.commands.timeline import tell_timeline

    return tell_timeline(shop, job, local_now())


@cli.command()
@click.argument("name", metavar="PROCEDURE|JOB")
@click.option(
    "--to",
    metavar="FILE",
    help="Where to write the page; an older page there is replaced. Without it, in a terminal: "
    "NAME-sheet.html in the folder you are in. Otherwise it is printed.",
)
@_shop
def sheet(shop: Chosen, name: str, to: str | None) -> int:
    """Make the paper form of PROCEDURE|JOB, to go on by hand when the laptop fails.

    It is one HTML page for A4 or US Letter: open it in a browser and print it. For a procedure
    all its boxes are empty. For a job, what was answered stands in them already, and what is
    done on paper is keyed in afterwards, with both times.

    Give the name of a procedure, like receiver-swap, or the path of its file; or the name of a
    job, the beginning of it, or its work order, plate or VIN.
    """
    from baycompanion.commands.sheet import print_sheet

    return print_sheet(shop, name, to, local_now())


@cli.command()
@click.argument("job")
@click.option(
    "--out",
    metavar="FILE",
    help="Where to write the page; an older page there is replaced. Without it: handover.html "
    "in the folder of the job.",
)
@_shop
def handover(shop: Chosen, job: str, out: str | None) -> int:
    """Write the sheet that the owner of the vehicle in JOB goes home with, and say where it lies.

    It is one HTML page for A4 or US Letter: open it in a browser and print it. What was done,
    the vehicle before and after, readings with their limits, what was skipped and by whom. The
    sheet of a job that is still under way is marked as provisional. JOB is the name of the job,
    the beginning of it, or its work order, plate or VIN.
    """
    from baycompanion.commands.handover import write_sheet

    return write_sheet(shop, job, out, local_now())


@cli.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@_json("the findings")
@_shop
def check(shop: Chosen, files: tuple[str, ...], as_json: bool) -> int:
    """Check procedure files, and say what is wrong and what to write instead.

    FILE is the path of a procedure, of a file that procedures include, of a play script, of an
    order of parts, or of a connector; or the name of a procedure, like receiver-swap. The exit code
    is 0 without problems, whatever the warnings; 1 with problems; 2 if a file cannot be read.
    """
    from baycompanion.commands.check import check_files

    return check_files(shop, files, as_json)


@cli.command("sum")
@click.argument("name", required=False)
@click.argument("inputs", metavar="[KEY=VALUE]...", nargs=-1)
@_json("the list, what the sum takes, or its result")
@_shop
def sum_(shop: Chosen, name: str | None, inputs: tuple[str, ...], as_json: bool) -> int:
    """Work out a sum of the trade: wire, fuse, splice, screw, battery and more.

    Without NAME, the sums are listed. With NAME alone, what it takes is told: the inputs with
    their units and ranges, and the source. With KEY=VALUE... it is worked, as in

        baycompanion sum splice awg=18,18,20 cap_min_cmil=1500 cap_max_cmil=6500

    A value may carry another unit, like original_mm="3/4 in". The exit code is 0 for a good
    verdict, 1 for a bad one, and 2 where an input cannot be used.
    """
    from baycompanion.commands.sum import do_sum

    return do_sum(shop, name, inputs, as_json)


@cli.command("splice-plan")
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option(
    "--caps",
    metavar="CAPS",
    help='The splice caps to choose from, like "grey 1500-6500, red 800-3000" in circular mils. '
    "Without it: the shop's own.",
)
@_json("the plan")
@_shop
def splice_plan(shop: Chosen, files: tuple[str, ...], caps: str | None, as_json: bool) -> int:
    """Plan which lead joins which, from connector files of vehicle, receiver and extras.

    Each FILE is one connector: two or more are needed. Leads are joined by their function; their
    colours are only compared. Joins that are never made, and leads whose function is not known,
    are told. The exit code is 0 without any of these, 1 with some, and 2 if a file cannot be used.
    """
    from baycompanion.commands.splice_plan import print_plan

    return print_plan(shop, files, caps, as_json)


@cli.command()
@click.argument("what", type=click.Choice(["procedure", "record", "script", "connector", "order"]))
def schema(what: str) -> int:
    """Print the JSON Schema of a file, for editors and other programs.

    An editor that speaks JSON Schema completes a procedure while it is written.
    """
    from baycompanion.commands.schema import print_schema

    return print_schema(what)


@cli.command()
@click.argument("script")
@_json("the record of the job")
@_shop
def play(shop: Chosen, script: str, as_json: bool) -> int:
    """Play the job in the file SCRIPT from keys in to keys back, without screens.

    The job is kept in the shop like any other. The exit code is 0 if it closes, 1 if an action
    is refused or the job is not closed at the end, 2 if the script cannot be used.
    """
    from baycompanion.commands.play import play_script

    return play_script(shop, script, as_json, datetime.now(UTC))


@cli.command()
@click.option("--headless", is_flag=True, help="Play one job and print what came of it.")
@click.option("--folder", metavar="FOLDER", help="Where to make the demo shop; a new folder.")
@click.option("--chain", type=int, metavar="SHOPS", help="Make a chain of so many shops instead.")
@click.option("--jobs", type=int, metavar="N", help="Jobs that each shop of the chain has closed.")
@click.option("--seed", type=int, metavar="K", help="The same number gives the same chain.")
@click.option("--honest", is_flag=True, help="Plant nothing in the chain.")
@_json("the record of the job that is played")
@_plain
@click.pass_obj
def demo(
    chosen: Chosen,
    headless: bool,
    folder: str | None,
    chain: int | None,
    jobs: int | None,
    seed: int | None,
    honest: bool,
    as_json: bool,
) -> int:
    """Make a demo shop in a folder of its own, and open it.

    In a terminal the bay board opens, with a job part-way through; with --plain, it is read line
    by line anywhere. Without a terminal, or with --headless or --json, a whole job is played
    instead, and what came of it is printed.

    With --chain, a chain of shops is made in --folder for an audit to be tried on. What is planted
    in it stands in planted.json beside the shops; read it afterwards.
    """
    if chain is not None:
        from baycompanion.commands.demo_chain import show_chain

        if headless or as_json or chosen.plain:
            raise click.UsageError(
                "--chain opens nothing, so it stands without --headless, --json and --plain"
            )
        return show_chain(folder, chain, jobs, seed, honest)
    if jobs is not None or seed is not None or honest:
        raise click.UsageError("--jobs, --seed and --honest belong to --chain")
    from baycompanion.commands.demo import show_demo

    return show_demo(chosen, folder, headless, as_json, datetime.now(UTC))


_FROM_ELSEWHERE = (
    *(audit, export, review, seal),
    *(changes, map_, new, preview),
    *(drill, practice, trainees),
    staff,
)
for command in _FROM_ELSEWHERE:
    cli.add_command(command)
