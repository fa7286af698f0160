"""The fastener tray: what came off, panel by panel, where it lies, and what of it went back."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.state import State, StepTrack
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import Answers, applies, step_applies
from baycompanion.procedure.steps import Count, Item


@dataclass(frozen=True, slots=True)
class TrayLine:
    """Fasteners of one kind that came off one panel."""

    step: str
    """The step that counts them out."""
    item: str
    panel: str
    kind: str
    """What they are, like Screws of the receiver."""
    size: str
    slot: str
    """Where in the tray they lie."""
    added: bool
    """Whether the line was added at the vehicle."""
    out: int | None
    """How many came off; None before they are counted."""
    back: int | None
    """How many went back; None before they are counted."""
    exchanged: int = 0
    """How many of those that went back are others; the old ones lie with the old parts."""
    exchanged_for: str = ""
    exchanged_why: str = ""
    before: int = 0
    """How many came off by a count that was taken back, until they are counted anew."""

    @property
    def left(self) -> int | None:
        """How many did not go back, below zero where more did; None before both are counted."""
        return self.out - self.back if self.out is not None and self.back is not None else None

    @property
    def lies(self) -> int:
        """How many came off and did not go back so far, below zero where more did."""
        return self.left if self.left is not None else self.before if self.out is None else self.out

    @property
    def label(self) -> str:
        """The panel, what it is, and its size."""
        kind = f"{self.panel}: {_inside(self.kind)}" if self.panel else self.kind
        return f"{kind}, {self.size}" if self.size else kind

    @property
    def comes_to(self) -> str:
        """What is left over or too many, empty where all went back."""
        left = self.left or 0
        return f"{left} left over" if left > 0 else f"{-left} too many" if left < 0 else ""

    @property
    def exchange(self) -> str:
        """What went in instead of which, and why, empty where nothing did."""
        if not self.exchanged:
            return ""
        return f"{self.exchanged} exchanged for {self.exchanged_for} ({self.exchanged_why})"

    def __str__(self) -> str:
        counts = [f"{self.out} off"] if self.out is not None else []
        counts += [f"{self.before} off before, to be counted anew"] if self.before else []
        counts += [f"{self.back} back"] if self.back is not None else []
        slot = f"slot {self.slot}" if self.slot else ""
        said = [part for part in (*counts, self.comes_to, self.exchange, slot) if part]
        return f"{self.label}: {', '.join(said)}" if said else self.label


def _inside(kind: str) -> str:
    """Return `kind` as it stands inside a sentence; M5 and LED stay as they are."""
    return kind[:1].lower() + kind[1:] if kind[1:2].islower() else kind


def count_out(procedure: Procedure, step: Count) -> Count:
    """Return the count by which the lines of `step` came off; itself, where it counts out.

    A count that leads back to no earlier count, which `check` refuses, has no lines.
    """
    number = procedure.number
    while step.matches is not None:
        before = procedure.steps.get(step.matches)
        if not isinstance(before, Count) or number[before.id] >= number[step.id]:
            break
        step = before
    return step


def lines(procedure: Procedure, state: State, step: Count) -> tuple[Item, ...]:
    """Return all lines of `step`, those of its file and those added at the vehicle.

    Counted back, they stand in the reversed order of the teardown: the panel that came off last
    is first, and of each panel what came off last. A panel comes off with its last fastener.
    """
    out = count_out(procedure, step)
    added = (
        Item(item=each.item, name=each.name, group=each.panel)
        for each in state.tray
        if each.step == out.id
    )
    written = (*out.of, *added)
    if step.matches is None:
        return written
    place = {name: number for number, name in enumerate(state.track(out.id).ticks)}
    came_off = sorted(written, key=lambda item: place.get(item.item, len(place)))
    last = {item.group: number for number, item in enumerate(came_off)}
    first_back = sorted(enumerate(came_off), key=lambda at: (last[at[1].group], at[0]))
    return tuple(item for _, item in reversed(first_back))


def lines_of_job(procedure: Procedure, state: State, step: Count) -> tuple[Item, ...]:
    """Return the lines of `step` that belong to this vehicle, in its order.

    What came off lies in the tray, whatever was chosen since: such a line stays.
    """
    off = state.track(count_out(procedure, step).id)
    lies = {item for item, tick in off.ticks.items() if tick.answer.count} | set(off.uncounted)
    return tuple(
        item
        for item in lines(procedure, state, step)
        if item.item in lies or applies(item, state.choices)
    )


def balance(procedure: Procedure, state: State, step: Count) -> tuple[TrayLine, ...]:
    """Return each line of `step` in this job, with what went back held against what came off."""
    out = count_out(procedure, step)
    before = state.track(step.matches).ticks if step.matches else state.track(out.id).ticks
    back = state.track(step.id).ticks if step.matches else {}
    return tuple(
        _line(
            state,
            out,
            item,
            before[item.item].answer if item.item in before else None,
            back[item.item].answer if item.item in back else None,
        )
        for item in lines_of_job(procedure, state, step)
    )


def _line(
    state: State, out: Count, item: Item, off: Ticked | None, back: Ticked | None
) -> TrayLine:
    size, slot = places(state.track(out.id), item.item)
    return TrayLine(
        step=out.id,
        item=item.item,
        panel=item.group,
        kind=item.name,
        size=size,
        slot=slot,
        added=item.item not in {each.item for each in out.of},
        # A line that came to apply after the count out has nothing in the tray.
        out=off.count if off is not None else 0 if back is not None else None,
        back=back.count if back is not None else None,
        exchanged=(back.exchanged or 0) if back is not None else 0,
        exchanged_for=(back.exchanged_for or "") if back is not None else "",
        exchanged_why=(back.exchanged_why or "") if back is not None else "",
        before=state.track(out.id).uncounted.get(item.item, 0) if off is None else 0,
    )


def places(track: StepTrack, item: str) -> tuple[str, str]:
    """Return the size of a line and its slot in the tray, as they were said last."""
    return track.places.get(item, ("", ""))


def whole_tray(procedure: Procedure, state: State) -> Iterator[tuple[TrayLine, str | None]]:
    """Yield every line counted out, in the order of the counts, and the step that counted it back.

    Where several counts are held against one, the last that was made stands. What was counted
    stays, even where a choice settled since leaves the count out, or the count was taken back.
    """
    counts = [step for step in procedure.steps.values() if isinstance(step, Count)]
    applying = [
        step
        for step in counts
        if state.track(step.id).ticks
        or state.track(step.id).uncounted
        or step_applies(procedure, step.id, state.choices)
    ]
    for out in (step for step in applying if step.matches is None):
        backs = [
            step for step in applying if step.matches and count_out(procedure, step).id == out.id
        ]
        for line in balance(procedure, state, out):
            if line.out is not None or line.before:
                yield _newest(procedure, state, line, backs)


def _newest(
    procedure: Procedure, state: State, line: TrayLine, backs: list[Count]
) -> tuple[TrayLine, str | None]:
    for step in reversed(backs):
        if line.item in state.track(step.id).ticks:
            found = balance(procedure, state, step)
            return next(each for each in found if each.item == line.item), step.id
    return line, None


def outs_counted_back(procedure: Procedure, choices: Answers) -> frozenset[str]:
    """Return the counts out that `choices` leave some count back for."""
    return frozenset(
        count_out(procedure, step).id
        for step in procedure.steps.values()
        if isinstance(step, Count) and step.matches
        if step_applies(procedure, step.id, choices)
    )


def in_the_tray(
    procedure: Procedure, state: State, outs: Collection[str] | None = None
) -> dict[str, int]:
    """Return how many fasteners of each panel came off and did not go back so far.

    `outs` names the counts out that are looked at, None all of them.
    """
    found: dict[str, int] = {}
    for line, _ in whole_tray(procedure, state):
        if line.lies > 0 and (outs is None or line.step in outs):
            panel = line.panel or line.kind
            found[panel] = found.get(panel, 0) + line.lies
    return found


def still_there(procedure: Procedure, state: State) -> tuple[TrayLine, ...]:
    """Return the lines that lie in the tray and that some count of `procedure` takes back."""
    taken_back = outs_counted_back(procedure, state.choices)
    lines_now = (line for line, _ in whole_tray(procedure, state))
    return tuple(line for line in lines_now if line.lies > 0 and line.step in taken_back)


def tray_words(procedure: Procedure, state: State, outs: Collection[str] | None = None) -> str:
    """Return what lies in the tray, panel by panel, as `in_the_tray`; empty where nothing does."""
    lies = in_the_tray(procedure, state, outs)
    return ", ".join(f"{panel} {count}" for panel, count in lies.items())
