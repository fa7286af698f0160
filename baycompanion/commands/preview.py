"""`preview`: the screens of a procedure while it is written, without a job."""

from baycompanion.commands.opening import in_terminal, shop_folder, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import talk
from baycompanion.store.reading import read_text
from baycompanion.store.shelf import find_procedure


def show_preview(chosen: Chosen, name: str) -> int:
    """Show the procedure in a file, step by step, and reload it as it is saved.

    Raises:
        StoreTrouble: There is no such file.
    """
    path = find_procedure(name, shop_folder(chosen) / "procedures")
    read_text(path)  # a file that is not there at all is no draft
    if chosen.by_lines:
        from baycompanion.plain.preview import talk_preview
        from baycompanion.plain.terminal import Terminal
        from baycompanion.working.wall_clock import local_now

        good = talk_preview(path, Terminal(), local_now)
        return Exit.DONE if good else Exit.REFUSED
    if not in_terminal():
        again = typed_again(f"preview {name} --plain", chosen)
        talk(f"The preview needs a terminal. For lines of text, type: {again}")
        return Exit.REFUSED
    from baycompanion.screens.run import run_preview

    return run_preview(path)
