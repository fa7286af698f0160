"""The scenes that are pictured: every kind of screen, each reached the way a person reaches it."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from bay import GOOD, S1, VEHICLE, keys_in, tick
from bench import READ, Bench, More, Move, Typed
from came_back import ALL_WELL, COME_BACK, LOOK_OVER, LOOKED_OVER
from fitted import FITTED_TEXT
from ordered import ORDER
from panels import PANELS_TEXT
from trainees_bench import with_trainees

from baycompanion.job.actions import (
    Abandon,
    Accept,
    Answer,
    Close,
    FoundMark,
    Override,
    Settle,
)
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.hands_actions import (
    ExplainGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.earlier import earlier_in
from baycompanion.store.job.folder import make_job
from baycompanion.store.shop import open_shop

Scene = tuple[Path | None, tuple[Move, ...]]
"""The job that is opened, or the board, and the moves that lead to the picture."""

SCRATCH_ON_HOOD = FoundMark(mark="scratch", size_mm=40, place="middle")
CHIP = FoundMark(mark="chip", size_mm=3, place="front left")
SCRATCH = FoundMark(mark="scratch", size_mm=40, place="upper rear")
FAILED = [
    Answer(answer="sound", outcome="failed"),
    Settle(settle="sound", cause="work", words="rear left speaker is silent"),
]
PAUSE = PauseWork(pause="lunch", loose="dash trim lies on the seat", first="plug the harness in")
EVENING = PauseWork(pause="closing time", loose="dash open", first="check the clamp")
MORNING = Resume(resume="as it was left", still_true=("battery-off",), gate_checked=True)
WORKED = ExplainGap(explain="worked")
OVERRIDE = Override(
    override="sound-before-refit",
    reason="part on order, owner agreed to wait",
    words="The speaker comes on Friday; the owner drives without it until then.",
    instead="A tag on the receiver says which speaker is silent.",
)
HAND_OVER = HandOver(
    hand_over="T2", words="joins are done", loose="dash open", first="tug every join"
)


def _board(bench: Bench) -> Scene:
    bench.act(bench.job(), Close(close="keys back"))
    bench.act(bench.new_job("WO 8"), Abandon(abandon="the owner changed the order"))
    bench.act(bench.job("rest-voltage"), PAUSE)
    bench.job("sound", sound=FAILED)
    return None, ()


def _gate(bench: Bench) -> Scene:
    return bench.job(sound=FAILED), ()


def _closed(bench: Bench) -> Scene:
    folder = bench.job()
    bench.act(folder, Close(close="keys back"))
    return folder, ()


def _paused(bench: Bench) -> Scene:
    folder = bench.job("out")
    bench.act(folder, PAUSE)
    bench.clock.at += timedelta(minutes=25)
    return folder, ()


def _long_pause(bench: Bench) -> Scene:
    folder, _ = _paused(bench)
    bench.clock.at += timedelta(hours=14)
    return folder, ("1",)


def _handed_over(bench: Bench) -> Scene:
    folder = bench.job("out")
    bench.act(folder, HAND_OVER)
    return folder, ()


def _gap(bench: Bench) -> Scene:
    folder = bench.job("gauges")
    bench.clock.at += timedelta(minutes=50)
    return folder, ()


def two_nights(bench: Bench) -> Path:
    """Return a closed job that lay over two nights, with gaps, and gates that were overridden."""
    folder = bench.job("rest-voltage")
    bench.clock.move(seconds=3600)
    bench.act(folder, WORKED, EVENING)
    bench.clock.move(seconds=22 * 3600)
    bench.act(folder, MORNING)
    bench.finish(folder, "join")
    bench.clock.move(seconds=7200)
    bench.act(folder, WORKED, EVENING)
    bench.clock.move(seconds=23 * 3600)
    bench.act(folder, MORNING)
    bench.finish(folder, "sound")
    bench.clock.move(seconds=2400)
    bench.act(folder, WORKED, *FAILED)
    for gate in ("sound-before-refit", "same-as-before"):
        bench.finish(folder)
        bench.clock.move(seconds=900)
        bench.act(folder, WORKED)
        bench.act(folder, OVERRIDE.model_copy(update={"override": gate}), who=S1)
    bench.finish(folder)
    bench.act(folder, Close(close="keys back"))
    return folder


def _timeline(*moves: Move) -> Callable[[Bench], Scene]:
    return lambda bench: (two_nights(bench), (More("Look at the timeline"), *moves))


def _outline(bench: Bench) -> Scene:
    """Return a second look round the vehicle, with an old mark, a new one, and panels to do."""
    bench.use(PANELS_TEXT)
    before = tick("panels", "hood", "marked", marks=(CHIP,))
    folder = bench.job("panels-after", panels=[before, *GOOD["panels"]])
    bench.act(
        folder,
        tick("panels-after", "hood", "marked", marks=(CHIP,)),
        tick("panels-after", "left-front-door", "marked", marks=(SCRATCH,)),
        tick("panels-after", "right-front-door", "unmarked"),
    )
    return folder, ("d", "d")


def _came_back(bench: Bench) -> Scene:
    """Return a vehicle that came back with two things worse, neither of them traced yet."""
    bench.use(LOOK_OVER)
    earlier = bench.new_job("WO 6")
    bench.act(earlier, *LOOKED_OVER)
    loaded = load_procedure(COME_BACK, "comeback.yaml")
    kept = earlier_in(earlier, VEHICLE)
    made = make_job(bench.shop.jobs, loaded, keys_in(when=bench.clock(), earlier=kept))
    silent = tick("functions", "horn", "faulty", words="silent")
    scratched = tick("marks", "hood", "marked", marks=(SCRATCH_ON_HOOD,))
    bench.act(made, Accept(accept="hazards"), silent, *ALL_WELL[:2], scratched, *ALL_WELL[2:])
    return made, ("1", Typed("its fuse is out"), "enter")


def _fitted(bench: Bench) -> Scene:
    bench.use(FITTED_TEXT)
    folder = bench.new_job()
    bench.act(folder, Accept(accept="hazards"))
    return folder, ("1",)


def _scanned(bench: Bench) -> Scene:
    made = make_job(bench.shop.jobs, bench.loaded, keys_in(when=bench.clock(), order=ORDER))
    bench.act(made, Accept(accept="hazards"))
    bench.finish(made, "parts")
    return made, (Typed("0815"), "enter", "2", "enter")


def _trainees(bench: Bench) -> Scene:
    """Return the trainees as a supervisor without a PIN sees them."""
    with_trainees(bench)
    return None, ("l", *["down"] * 6, "enter", READ, "t", "enter", Typed("S3"), "enter", READ)


def _release(bench: Bench) -> Scene:
    """Return the form by which somebody is released."""
    _, moves = _trainees(bench)
    return None, (*moves, "r")


def _phases(bench: Bench) -> Scene:
    """Return the board of a shop that has closed twenty-four lamp jobs."""
    bench.close_lamps(24)
    return None, ("p", READ)


def _at(step: str, *moves: Move) -> Callable[[Bench], Scene]:
    return lambda bench: (bench.job(step), moves)


def _only_reading(bench: Bench) -> Scene:
    """Leave a job to somebody who is no more on the staff, so that it cannot be opened."""
    bench.job("gauges")
    staff = (bench.folder / "staff.yaml").read_text(encoding="utf-8")
    (bench.folder / "staff.yaml").write_text(staff.replace("T1", "T9"), encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    return None, ("enter",)


def _found(bench: Bench) -> Scene:
    """Return two ended jobs on one vehicle, of three, as a part of its plate finds them."""
    van = Vehicle(description="Blue van", plate="DEMO 17", vin="00DEM0000TEST0017")
    grey = Vehicle(description="grey estate", plate="TEST 17")
    for order, vehicle in (("WO 6", van), ("WO 8", grey), ("WO 9", van)):
        bench.act(bench.new_job(order, vehicle), Abandon(abandon="sold"))
    return None, ("f", Typed("demo-1"), "enter")


SCENES: dict[str, Callable[[Bench], Scene]] = {
    "board": _board,
    "board-empty": lambda bench: (None, ()),
    "start": lambda bench: (None, ("n",)),
    "found": _found,
    "hazards": lambda bench: (bench.new_job(), ()),
    "choose": _at("ask-camera"),
    "tools": _at("tools"),
    "instrument": _at("tools", "1"),
    "number": _at("odometer", Typed("80123")),
    "list": _at("stations", Typed("88.1"), "enter", Typed("94.7"), "enter"),
    "list-compared": _at("stations-back", Typed("88.1"), "enter", Typed("101.1"), "enter"),
    "sheet": _at("before", "1"),
    "sheet-faulty": _at("before", "2"),
    "outline": _outline,
    "mark": lambda bench: (_outline(bench)[0], ("2",)),
    "sheet-after": _at("after", "2", Typed("silent"), "enter", "1"),
    "came-back": _came_back,
    "earlier": lambda bench: (_came_back(bench)[0], ("f9", "2")),
    "fitted": _fitted,
    "parts-scanned": _scanned,
    "measure": _at("rest-voltage", Typed("12.1")),
    "outside": _at("rest-voltage", Typed("12.1"), "enter"),
    "settle": _at("rest-voltage", Typed("12.1"), "enter", "2"),
    "danger": _at("disconnect"),
    "cautions-read": _at("disconnect", "enter", "enter"),
    "wait-unknown": _at("reserve"),
    "wait-running": _at("cure"),
    "count": _at("out"),
    "count-added": _at("out", "f7"),
    "count-back": _at("back", Typed("3")),
    "count-exchanged": _at("back", "f7"),
    "sum": _at("splice"),
    "check-why": _at("joins-hold", "f8"),
    "witness": _at("second-look"),
    "standing": _at("reconnect"),
    "look-back": _at("out", "shift+tab", "up", "up"),
    "gate": _gate,
    "override": lambda bench: (_gate(bench)[0], ("8",)),
    "note": _at("route", "f2"),
    "pause": _at("route", "f4"),
    "menu": _at("route", "f9"),
    "help": _at("route", "f1"),
    "sums": _at("route", "f10"),
    "sum-form": _at("route", "f10", "0"),
    "sum-result": _at("route", "f10", "0", Typed("85"), "enter", Typed("60"), *["enter"] * 3),
    "paused": _paused,
    "long-pause": _long_pause,
    "handed-over": _handed_over,
    "gap": _gap,
    "close": lambda bench: (bench.job(), ()),
    "closed": _closed,
    "timeline": _timeline(),
    "timeline-override": _timeline("o"),
    "timeline-whole": _timeline("o", "enter"),
    "phase-times": _phases,
    "trainees": _trainees,
    "trainees-release": _release,
    "phase-chart": lambda bench: (_phases(bench)[0], ("p", READ, "enter", "right")),
    "only-reading": _only_reading,
    "only-reading-look": lambda bench: (_only_reading(bench)[0], ("enter", "up", "up", "f8")),
    "refused": _at("reserve", "2", Typed("soon"), "enter", Typed("the manual"), "enter"),
}
"""Every scene by its name."""
