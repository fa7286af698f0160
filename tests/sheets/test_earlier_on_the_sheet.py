"""The hand-over sheet of a vehicle that came back: what is worse, and whose it is."""

from bay import START, Bay, keys_in
from came_back import ALL_WELL, COME_BACK, LOOK_OVER, LOOKED_OVER
from hand_over_bench import rows, section, sheet, titles

from baycompanion.job.actions import Accept, Answer, TickLine
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.record.earlier import earlier_job
from baycompanion.procedure.load import load_procedure

TITLE = "The earlier job"


def earlier() -> Bay:
    """Return the job that the vehicle left with everything well."""
    bay = Bay(load_procedure(LOOK_OVER, "look-over.yaml").procedure)
    bay.do(*LOOKED_OVER)
    return bay


def came_back(before: Bay | None, *worse: TickLine) -> Bay:
    """Return the job that the vehicle came back in, as far as its sheets."""
    procedure = load_procedure(COME_BACK, "comeback.yaml").procedure
    kept = earlier_job(before.record()) if before is not None else None
    opened = open_job(procedure, "cd" * 32, "job-2", keys_in("WO 8", earlier=kept))
    bay = Bay(procedure, START, [opened])
    bay.do(Accept(accept="hazards"), *worse, *ALL_WELL)
    return bay


HORN = TickLine(tick="functions", item="horn", outcome="faulty", words="silent")


def test_it_names_the_earlier_job_and_each_difference_with_its_origin() -> None:
    before = earlier()
    bay = came_back(before, HORN)
    ours = TickLine(tick="traced", item="horn", outcome="from our work", words="its plug was off")
    bay.do(ours, Answer(answer="traced"))
    told = section(sheet(bay), TITLE)
    said = f"closed 2026-03-02, fingerprint {fingerprint(before.state.head)}"
    assert f"It came back from work order WO 7, Look a vehicle over, {said}." in told.text
    assert rows(told) == [
        ["Horn: worked when it left; faulty now (silent)", "from our work", "its plug was off"]
    ]


def test_what_nobody_traced_yet_says_so() -> None:
    [[_, origin, words]] = rows(section(sheet(came_back(earlier(), HORN)), TITLE))
    assert (origin, words) == ("nobody has said yet", "")


def test_nothing_worse_is_said_and_without_an_earlier_job_there_is_no_section() -> None:
    told = section(sheet(came_back(earlier())), TITLE)
    assert "Nothing on the condition sheet was worse than when it left." in told.text
    assert TITLE not in titles(sheet(came_back(None, HORN)))
