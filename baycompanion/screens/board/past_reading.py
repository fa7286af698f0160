"""Reading ended jobs: in a thread, after the first frame, so that nothing waits."""

from collections.abc import Callable, Collection, Mapping
from typing import TYPE_CHECKING

from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

if TYPE_CHECKING:  # what reads is loaded where it reads
    from baycompanion.job.record.past_job import PastJob
    from baycompanion.store.job.done_right import Past
    from baycompanion.store.shop import Shop
    from baycompanion.working.guidance import Guidance


class PastRead(Message, bubble=False):
    """The past was read: ended jobs by the procedure that they followed."""

    def __init__(self, past: "Mapping[str, tuple[PastJob, ...]]") -> None:
        super().__init__()
        self.past = past


def read_past(asking: Widget, shop: "Shop", procedures: Callable[[], Collection[str]]) -> None:
    """Read the past of `procedures`, and send it to `asking`; given up when `asking` goes away."""

    def read() -> None:
        from baycompanion.store.job.past_times import past_of

        worker = get_current_worker()
        past = past_of(shop.jobs, procedures(), lambda: worker.is_cancelled)
        asking.post_message(PastRead(past))

    asking.call_after_refresh(asking.run_worker, read, thread=True)


class DoneRead(Message, bubble=False):
    """It was read how `who` did the steps of a procedure in their ended jobs."""

    def __init__(self, who: str, past: "Past") -> None:
        super().__init__()
        self.who = who
        self.past = past


def read_done(asking: Widget, guidance: "Guidance") -> None:
    """Read what `guidance` has not read yet of whoever has the job now, and send it to `asking`."""
    to_read = guidance.to_read()
    if to_read is None:
        return
    who, reading = to_read

    def read() -> None:
        worker = get_current_worker()
        asking.post_message(DoneRead(who, reading(lambda: worker.is_cancelled)))

    asking.call_after_refresh(asking.run_worker, read, thread=True)
