"""The door of the program, as `baycompanion` and as `python -m baycompanion`."""

import gc
import os
import sys

from baycompanion.exits import Exit


def main() -> None:
    """Run the command that the command line names, and leave with its exit code."""
    # A whole look for cycles takes 100 ms once the screens are loaded: one key in thirty waited.
    gc.set_threshold(50_000, 20, 100)
    # No plugin has a say in our models; to look for one reads what every package installed says.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    try:
        from baycompanion.cli import cli  # here, so that Ctrl-C while it loads is met too
        from baycompanion.out import speak_plainly

        speak_plainly()
        cli()
    except KeyboardInterrupt:
        sys.exit(Exit.STOPPED)


if __name__ == "__main__":
    main()
