"""The cards of practice: what comes next, what was said of it, what was seen, how it ended."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.practising import gates_run_into, needed_first, not_protecting
from baycompanion.job.events.practice_kinds import NextSaid
from baycompanion.job.practice_actions import LookAt, SayNext, TakeUp
from baycompanion.job.state.gates import Missing, rests_on_step
from baycompanion.job.state.order import step_applies
from baycompanion.job.state.state import State
from baycompanion.learning.practice.seeing import Seen
from baycompanion.procedure import paths
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Choose, Step
from baycompanion.views.card.card import Aside, Card, Deed, Key, Piece, Row
from baycompanion.views.card.wording import photo_piece

LABEL = "PRACTICE · made-up vehicle · counts for nothing"
"""Stands on every screen of practice."""

MOST_MISSING = 3
"""Things that a shut gate waits for, as they are read; of more, how many there are."""

ASKED = "What comes next?"

ASKED_FIRST = "First say what comes next."

TOLD_FIRST = "First go on to a step."

NOTHING_THERE = "There is nothing to look at here."

LOOK = "F12"
"""The key of the screens that looks at the made-up vehicle."""

LOOKS = {"measure": "Measure it", "check": "Try it", "count": "Count"}
"""What looking at the made-up vehicle is called, by the verb of the step."""


def look_word(step: Step) -> str:
    """Return what looking at the made-up vehicle is called at `step`."""
    return LOOKS.get(step.verb, "Look")


def look_deed(step: Step) -> Deed:
    """Return the deed that looks at the made-up vehicle."""
    return Deed(LookAt(look_at=step.id))


def take_up_deed(step: Step) -> Deed:
    """Return the deed that begins `step` now, in its place or out of it."""
    return Deed(TakeUp(take_up=step.id))


# --- what comes next ---------------------------------------------------------------------------


def next_card(procedure: Procedure, state: State, choices: Sequence[Step]) -> Card:
    """Return the card that asks which of `choices` comes next."""
    rows = tuple(
        Row(
            step.id,
            str(number),
            "",
            step.text,
            keys=(Key("Enter", "This one comes next", Deed(SayNext(say_next=step.id)), True),),
        )
        for number, step in enumerate(choices, 1)
    )
    phase = procedure.phase_named[state.phase].title if state.phase else ""
    return Card(
        kind="next",
        heading=f"Phase: {phase}" if phase else "Before the first step",
        title=ASKED,
        pieces=(Piece("label", "Say it before it is shown."),),
        rows=rows,
    )


def told_card(
    procedure: Procedure, state: State, said: NextSaid, go_on: Callable[[], None]
) -> Card:
    """Return which step is right, why it sits there, and what the one that was said ran into."""
    due, other = procedure.steps[said.due], procedure.steps[said.said]
    this = f"step {procedure.number[due.id]}" if said.right else "the right one"
    keys = [Key("1", f"Go on with {this}", Aside(go_on), enter=True)]
    pieces = [Piece("good", "Right.")]
    if due.id != other.id:
        how = "could be done now as well" if said.right else "does not come now"
        pieces = [
            Piece("good" if said.right else "bad", f"You said: {other.text} It {how}."),
            *against(procedure, state, other),
            Piece("label", "By the procedure comes next what stands above."),
        ]
        if not needed_first(procedure, state, other):
            keys.append(Key("2", "Do it in that order all the same", take_up_deed(other)))
    return Card(
        kind="told",
        heading=f"Step {procedure.number[due.id]} of {len(procedure.steps)} comes next",
        title=due.text,
        pieces=(*pieces, *_why_here(procedure, state, due)),
        keys=tuple(keys),
        step=due.id,
    )


def against(procedure: Procedure, state: State, step: Step) -> Iterator[Piece]:
    """Yield what stands against `step` now: shut gates, what protects it, what it rests on."""
    for gate, things in gates_run_into(procedure, state, step):
        yield Piece("warning", f"Gate {gate.gate} is shut before it: {gate.because}")
        yield Piece("plain", f"It waits for: {_listed(things)}")
    for standing in not_protecting(procedure, state, step):
        begins = procedure.steps[standing.begins]
        yield Piece("warning", f"Not in force now: {standing.says}")
        said = f"It begins with step {procedure.number[begins.id]}: {begins.text}"
        yield Piece("plain", f"{said} {begins.why or ''}".strip())
    needed = needed_first(procedure, state, step)
    if needed:
        yield Piece("warning", f"It cannot be answered yet. First: {_listed(needed)}")


def _listed(things: Sequence[Missing]) -> str:
    shown = " · ".join(thing.words for thing in things[:MOST_MISSING])
    more = len(things) - MOST_MISSING
    return f"{shown} · and {more} more" if more > 0 else shown


def _why_here(procedure: Procedure, state: State, step: Step) -> Iterator[Piece]:
    """Yield why `step` sits where it does, besides its own why, which the card shows anyway."""
    found = [
        Piece("plain", f"Gate {gate.gate} waits for it: {gate.because}")
        for gate in procedure.all_gates.values()
        if rests_on_step(gate, step.id)
    ]
    found += [
        Piece("plain", f"From here on must stay true: {standing.says}")
        for standing in procedure.standing
        if standing.begins == step.id
    ]
    found += [
        Piece("plain", f"Step {procedure.number[each.id]} rests on it: {each.text}")
        for each in procedure.steps.values()
        if step_applies(procedure, state, each) and _follows_from(each, step)
    ]
    hanging = _hanging_on(procedure, step)
    if hanging:
        steps = "step belongs" if hanging == 1 else "steps belong"
        found.append(Piece("plain", f"Its answer says whether {hanging} {steps} to the job."))
    yield from found
    if not found and not step.why:
        yield Piece("quiet", "The procedure says no more of why it sits here.")


def _hanging_on(procedure: Procedure, step: Step) -> int:
    """Return how many steps belong to the job or not by what `step` settles."""
    settled = {*step.settles} if isinstance(step, Choose) else set()
    return sum(
        any(settled & {*paths.rests_on(each)} for each in paths.with_phase(procedure, name))
        for name in procedure.steps
    )


def _follows_from(each: Step, step: Step) -> bool:
    named = (getattr(each, name, None) for name in ("matches", "compares", "repeats", "since"))
    return step.id in named


# --- the step in hand --------------------------------------------------------------------------


def without_photo(card: Card, step: Step) -> Card:
    """Return the `card` of `step` without its photo, since there is nothing to be pictured."""
    if not step.photo:
        return card
    asked = photo_piece(step.photo)
    return replace(card, pieces=tuple(piece for piece in card.pieces if piece != asked))


def with_look(card: Card, step: Step, seen: Seen | None) -> Card:
    """Return `card` with what was `seen` at the made-up vehicle, or without it with how to look.

    What lines have is told on each of them.
    """
    if seen is None:
        how = f"{look_word(step)}: {LOOK}. What is there is told then."
        return replace(card, pieces=(Piece("label", how, key=LOOK), *card.pieces))
    on_lines = {name: line for name, line in seen.lines.items() if line and card.rows}
    rows = (
        replace(row, text=f"{row.text} – {on_lines[row.name]}") if row.name in on_lines else row
        for row in card.rows
    )
    said = [
        Piece("label", "Each line says what is there." if on_lines else "At the made-up vehicle:"),
        *(Piece("notice", words) for words in seen.words[len(on_lines) :]),
    ]
    return replace(card, pieces=(*said, *card.pieces), rows=tuple(rows))


def with_time(card: Card, run_out: Callable[[], None]) -> Card:
    """Return the card of a wait with a key that lets its time run out."""
    key = Key("3", "Let the time run out", Aside(run_out), enter=True)
    return replace(card, keys=(key, *card.keys))


def with_mentor(card: Card, action: Answer, mentor: Person) -> Card:
    """Return the card of a second person, who is the mentor: what they find comes by one key."""
    key = Key("1", "The mentor looks", Deed(action, mentor.id), enter=True)
    said = Piece("label", f"The second person is the made-up mentor, {mentor.id}.")
    others = tuple(each for each in card.keys if each.key not in ("1", "2", "3"))
    return replace(card, pieces=(said, *card.pieces), keys=(key, *others))


def with_override(card: Card, mentor: Person) -> Card:
    """Return the card of a shut gate with who may override it in practice."""
    said = Piece("label", f"In practice, {mentor.id} may sign what a supervisor may.")
    *whom, before_the_list = card.pieces
    return replace(card, pieces=(*whom, said, before_the_list)) if card.keys else card


def with_take_up(card: Card, procedure: Procedure, state: State, step: Step) -> Card:
    """Return the card of a step that is looked at with a key that begins it now.

    What stands against it is read first.
    """
    takeable = state.status == "open" and state.accepted_at and state.gap is None
    if (
        not takeable
        or step.id == state.current
        or state.track(step.id).finished
        or not step_applies(procedure, state, step)
    ):
        return card
    stands = tuple(against(procedure, state, step))
    said = (Piece("bad", "Done now, it would run into this:"), *stands) if stands else ()
    taken_up = Key("1", "Do this one now", take_up_deed(step))
    keys = () if needed_first(procedure, state, step) else (taken_up,)
    return replace(card, pieces=(*said, *card.pieces), keys=(*card.keys, *keys))
