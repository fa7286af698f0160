"""The door of the program, as `baycompanion` and as `python -m baycompanion`."""

import sys

from baycompanion.exits import Exit


def main() -> None:
    """Run the command that the command line names, and leave with its exit code."""
    try:
        from baycompanion.cli import cli  # here, so that Ctrl-C while it loads is met too
        from baycompanion.out import speak_plainly

        speak_plainly()
        cli()
    except KeyboardInterrupt:
        sys.exit(Exit.STOPPED)


if __name__ == "__main__":
    main()
