"""What the next key is likely to need, loaded in a thread while a person reads the board."""

import gc

from textual.widget import Widget


def load_ahead(asking: Widget) -> None:
    """Load the screens of a job and a form once `asking` is painted; whoever cannot wait does."""

    def load() -> None:
        import baycompanion.screens.form.form
        import baycompanion.screens.job.job
        import baycompanion.store.job.open_job  # noqa: F401

        if not gc.isenabled():  # what is loaded by now stays: no look for cycles goes through it
            gc.freeze()
            gc.enable()

    asking.call_after_refresh(asking.run_worker, load, thread=True)
