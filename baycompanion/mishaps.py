"""What a person is told when a command cannot go on: one sentence, and an exit code."""

import errno
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import click

from baycompanion.exits import Exit
from baycompanion.out import discard, finish, only_lines, talk
from baycompanion.text.clean import clean_line


@dataclass(slots=True)
class Chosen:
    """What the command line has settled so far."""

    shop: str | None = None
    """The folder named by --shop."""
    plain: bool = False
    """Whether --plain asks for lines of text in place of screens."""
    folder: Path | None = None
    """The shop folder, once a command has opened it."""

    @property
    def by_lines(self) -> bool:
        """Whether lines of text come in place of screens: asked for, or all that there can be."""
        return self.plain or only_lines()


def attend(run: Callable[[], object], chosen: Chosen) -> int:
    """Call `run`, tell whatever goes wrong in one sentence on stderr, and return the exit code."""
    try:
        code = run()
        finish()
    except (BrokenPipeError, SystemExit):  # the second is click's own answer to a closed pipe
        discard()
        return Exit.CUT_OFF
    except click.ClickException as error:
        talk(_usage(error))
        return Exit.UNUSABLE
    except (KeyboardInterrupt, click.Abort):
        return _stopped()
    except Exception as error:
        return _stopped() if _wraps_stop(error) else _tell(_of_the_system(error), chosen)
    return code if isinstance(code, int) else Exit.DONE


def _of_the_system(error: Exception) -> Exception:
    """Return `error`, or the trouble that it is where the system refused, and nobody asked it.

    That is where click itself prints, and no room is left; and wherever it is looked whether a file
    is there, in a folder that is closed to us.
    """
    if not isinstance(error, OSError):
        return error
    from baycompanion.store.trouble import StoreTrouble, because  # with the store, and only now

    if isinstance(error, PermissionError) and error.filename is not None:
        return StoreTrouble(f"{error.filename} cannot be used: {because(error)}.")
    if error.errno != errno.ENOSPC or error.filename is not None:
        return error
    discard()
    return StoreTrouble(f"The output cannot be written: {because(error)}.")


def _stopped() -> Exit:
    talk("Stopped. Everything that was told as done is on the disk.")
    return Exit.STOPPED


def _wraps_stop(error: BaseException | None) -> bool:
    """Return whether `error` is Ctrl-C that came while a class or a model was being made.

    Before 3.12 Python makes an error of its own of it; the library of the models only names it.
    """
    if type(error).__name__ == "SchemaError" and "KeyboardInterrupt" in str(error):
        return True
    while error is not None and not isinstance(error, KeyboardInterrupt):
        error = error.__cause__
    return error is not None


def _usage(error: click.ClickException) -> str:
    """Return what is wrong with a command line, and where its help stands."""
    what = clean_line(error.format_message()).rstrip(".")
    path = error.ctx.command_path if isinstance(error, click.UsageError) and error.ctx else ""
    return f"{what}. See {path} --help." if path else f"{what}."


def _tell(error: Exception, chosen: Chosen) -> Exit:
    from baycompanion.store.report import write_report  # with the store, 30 ms, and only now
    from baycompanion.store.trouble import StoreTrouble
    from baycompanion.text.problem import BadFile

    if isinstance(error, BadFile):
        talk(str(error))
        return Exit.UNUSABLE
    if isinstance(error, StoreTrouble):
        talk(str(error))
        return Exit.TROUBLE
    report = write_report(error, chosen.folder, datetime.now(UTC))
    where = f"What happened stands in {report}" if report else "No report could be written"
    talk(f"The program itself failed: {type(error).__name__}. {where}; nothing saved is lost.")
    return Exit.UNFORESEEN
