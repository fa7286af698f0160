"""An order for the parts of the small procedure; its codes are invented."""

from bay import Bay, keys_in, load_small

from baycompanion.job.deciding.opening import open_job
from baycompanion.job.state.parts_order import read_order

ORDER_TEXT = """\
order: O-77
parts:
  - {part: receiver, name: Receiver of one unit, code: "4711"}
  - {part: cap, name: Caps in a bag, code: "0815", count: 3}
  - {name: Phone lead, code: "999"}
"""
ORDER = read_order(ORDER_TEXT, "order.yaml")


def ordered_bay() -> Bay:
    """Return a job of the small procedure that was opened with the order."""
    procedure = load_small().procedure
    first = open_job(procedure, "ab" * 32, "job-1", keys_in(order=ORDER))
    return Bay(procedure, events=[first])
