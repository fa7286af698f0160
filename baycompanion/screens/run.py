"""What each command puts on the screen, from the first frame to its exit code."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.screens.app import BayApp
from baycompanion.working.wall_clock import local_now

if TYPE_CHECKING:
    from baycompanion.job.deciding.draft import Person
    from baycompanion.store.shop import Shop
    from baycompanion.working.board.keeping import BoardShown
    from baycompanion.working.drilling import Sitting


def run_board(
    opens: "Callable[[], Shop]",
    until_read: "Callable[[datetime], BoardShown | None]" = lambda now: None,
) -> int:
    """Show the bay board of the shop that `opens` opens behind its frame; return the exit code.

    Until then it shows what is known of that board `until_read`.

    Raises:
        Exception: Whatever `opens` and `until_read` raise, once the screen is left.
    """
    return _run(BayApp(None, opens=opens, until_read=until_read))


def run_job(shop: "Shop", folder: Path, who: "Person | None") -> int:
    """Show the job in `folder`; return the exit code."""
    return _run(BayApp(shop, folder, who))


def run_practice(shop: "Shop", asked: Mapping[str, str], in_full: bool) -> int:
    """Ask what is practised, or where it was `asked` `in_full` begin it; return the exit code."""
    from baycompanion.screens.learning.practice_start import ask_practice, begin_practice

    def first(app: BayApp) -> None:
        from baycompanion.screens.board.board import BoardScreen

        if not in_full:
            ask_practice(app, shop, app.now, asked)
            return
        why_not = begin_practice(app, shop, app.now, asked)
        if why_not is not None and isinstance(app.screen, BoardScreen):
            app.screen.say(why_not)

    return _run(BayApp(shop, first=first))


def run_review(folders: Sequence[Path]) -> int:
    """Review the shops in `folders`; return the exit code."""
    from baycompanion.screens.looking_back.review import (
        ReviewScreen,  # with the audit, and only here
    )

    return _run(BayApp(None, alone=lambda: ReviewScreen(folders, local_now)))


def run_drill(sitting: "Sitting") -> int:
    """Show the drill `sitting`, and nothing after it; return the exit code."""
    from baycompanion.screens.learning.drill import DrillScreen  # with the scheduler, and only here

    return _run(BayApp(sitting.shop, alone=lambda: DrillScreen(sitting)))


def run_learning(shop: "Shop") -> int:
    """Show what can be learnt in `shop`, and nothing after it; return the exit code."""
    from baycompanion.screens.learning.learning import LearningScreen

    return _run(BayApp(shop, alone=lambda: LearningScreen(shop, local_now)))


def run_trainees(shop: "Shop", who: str | None, procedure: str | None, by: str | None) -> int:
    """Show `by` how the trainees of `shop` stand, and nothing after it; return the exit code."""
    from baycompanion.screens.learning.trainees import TraineesScreen

    def alone() -> TraineesScreen:
        return TraineesScreen(shop, local_now, who, procedure, by or "")

    return _run(BayApp(shop, alone=alone))


def run_preview(path: Path) -> int:
    """Show the screens of the procedure in the file at `path`; return the exit code."""
    from baycompanion.screens.preview.preview import PreviewScreen

    return _run(BayApp(None, alone=lambda: PreviewScreen(path, local_now)))


def _run(app: BayApp) -> int:
    app.run()
    if app.failure is not None:
        raise app.failure  # the command tells of it in one sentence
    return app.return_code or 0
