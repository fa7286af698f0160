"""Reading how long ended jobs took: in a thread, after the first frame, so that nothing waits."""

from collections.abc import Callable, Collection, Mapping

from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

from baycompanion.job.past_job import PastJob
from baycompanion.store.past_times import past_of
from baycompanion.store.shop import Shop


class PastRead(Message, bubble=False):
    """The past was read: ended jobs by the procedure that they followed."""

    def __init__(self, past: Mapping[str, tuple[PastJob, ...]]) -> None:
        super().__init__()
        self.past = past


def read_past(asking: Widget, shop: Shop, procedures: Callable[[], Collection[str]]) -> None:
    """Read the past of `procedures`, and send it to `asking`; given up when `asking` goes away."""

    def read() -> None:
        worker = get_current_worker()
        past = past_of(shop.jobs, procedures(), lambda: worker.is_cancelled)
        asking.post_message(PastRead(past))

    asking.call_after_refresh(asking.run_worker, read, thread=True)
