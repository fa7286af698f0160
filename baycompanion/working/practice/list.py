"""What came of a practice that lies on the disk, in lines."""

from collections.abc import Iterator

from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.learning.practice.taken_for import taken_for
from baycompanion.learning.practice.vehicle import make_vehicle
from baycompanion.store.practice import practice_folder, read_practice
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.practice.end import caught_line, end_pieces


def told_practice(shop: Shop, summary: PracticeSummary) -> Iterator[str]:
    """Yield the lines of one practice: whose, of what, and how it ended."""
    begun = summary.begun_at[:16].replace("T", " ")
    yield (
        f"PRACTICE {summary.id}: {summary.who}, {summary.title}, revision {summary.revision}, "
        f"seed {summary.seed}, {begun} UTC"
    )
    if summary.ended_at is None:
        yield "  Under way: it can be gone on with."
        return
    try:
        read = read_practice(practice_folder(shop.folder, summary.who) / summary.id)
    except (StoreTrouble, BadFile) as trouble:
        yield f"  {str(trouble).splitlines()[0]}"
        return
    procedure, practice = read.procedure, read.state.opened.practice
    assert practice is not None
    made = make_vehicle(procedure, practice.seed, practice.faults)
    if summary.phase is not None:
        yield f"  “{procedure.phase_named[summary.phase].title}” alone."
    yield f"  {caught_line(procedure, summary)}"
    for piece in end_pieces(procedure, summary, taken_for(procedure, made, read.state)):
        yield f"  {piece.words}"
