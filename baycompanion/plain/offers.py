"""What each word of the program does in a job; none of them answers its card."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from baycompanion.job.timeline.marks import make_timeline
from baycompanion.plain.form import ask_form
from baycompanion.plain.reading import mark_at, read_card, read_rows, read_sequence, without_sign
from baycompanion.plain.sums import work_sum
from baycompanion.plain.talk import Leaving, Offer, Talk
from baycompanion.plain.terminal import say_all
from baycompanion.plain.waiting import wait
from baycompanion.plain.words import AT_A_JOB, read_help, read_number
from baycompanion.procedure.steps import Step
from baycompanion.store.job.photos import read_photo
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile, quoted
from baycompanion.views.card import place
from baycompanion.views.card.card import Card, Deed, Form, Piece
from baycompanion.views.card.cards import last_finished
from baycompanion.views.card.fading import SHOWS_ALL
from baycompanion.views.card.menu import MenuEntry
from baycompanion.views.card.parts import why_parts_stop
from baycompanion.views.earlier import earlier_pieces
from baycompanion.views.forms import job_forms
from baycompanion.views.forms.circuit_forms import borrow_form
from baycompanion.views.photos import photo_line, photos_of
from baycompanion.views.timeline.lines import told_lines
from baycompanion.working.at_work import AtWork
from baycompanion.working.photo import photo_form
from baycompanion.working.revising import go_on_by, newer_revision, revise_form, why_not_now

REOPEN = "F6"
"""The key of a card that does its step again."""

ABOUT_ANSWERS = (
    "An answer is the number or the name of a key, or the value that is asked for.",
    "Where a value is asked for, put ? before a word: ?note.",
    "A value that itself begins with ? is typed with ??.",
)


# --- reading -----------------------------------------------------------------------------------


def _help(talk: Talk, card: Card, rest: str) -> None:
    say_all(talk.lines, [*ABOUT_ANSWERS, *read_help(AT_A_JOB)])


def _again(talk: Talk, card: Card, rest: str) -> None:
    """Read the card as it stands now; of a wait, only what is left of it."""
    now = talk.work.card
    step = talk.step_of(now)
    if now.kind == "step" and step is not None and step.verb == "wait" and now.pieces:
        talk.say(now.pieces[0].words)
    else:
        talk.read(now)


def _where(talk: Talk, card: Card, rest: str) -> None:
    job, now = talk.work.job, talk.work.now()
    last = place.last_line(job.procedure, job.state)
    told = (
        place.where(job.procedure, job.state),
        place.phase_line(job.procedure, job.state, now),
        without_sign(place.standing_line(job.procedure, job.state)),
        place.gate_ahead(job.procedure, job.state),
        f"Last finished: {without_sign(last) or 'nothing yet'}",
    )
    say_all(talk.lines, filter(None, told))


def _steps(talk: Talk, card: Card, rest: str) -> None:
    say_all(talk.lines, read_sequence(place.sequence(talk.work.job.procedure, talk.work.job.state)))


def _look(talk: Talk, card: Card, rest: str) -> None:
    step = step_numbered(talk, rest)
    if step is not None:
        look_at(talk, step)


def look_at(talk: Talk, step: Step) -> None:
    """Read the card of another step, and how it is done again, or in practice begun now."""
    job = talk.work.job
    card, in_hand = talk.work.look_card(step), talk.work.card
    guided, mark = talk.guided(card, with_why=True), mark_at(in_hand)
    all_of_it = f"{mark}why {job.procedure.number[step.id]}"
    pieces = tuple(_named(piece, all_of_it) for piece in guided.card.pieces)
    say_all(talk.lines, read_card(replace(guided.card, pieces=pieces), guided.why, in_hand))
    if any(key.key == REOPEN for key in card.keys):
        talk.say(f"To do it again, type {mark}reopen {job.procedure.number[step.id]}.")
    if any(isinstance(key.does, Deed) for key in card.keys):
        talk.say(f"To do it now, type {mark}take up {job.procedure.number[step.id]}.")


def _named(piece: Piece, all_of_it: str) -> Piece:
    """Return `piece`, which may say how all is shown, with `all_of_it` as what is typed for it."""
    if piece.key != SHOWS_ALL:
        return piece
    return replace(piece, words=piece.words.replace(SHOWS_ALL, all_of_it), key="")


def step_numbered(talk: Talk, typed: str) -> Step | None:
    """Return the step of the number typed, or say that there is none."""
    steps = list(talk.work.job.procedure.steps.values())
    number = read_number(typed)
    if number is not None and 1 <= number <= len(steps):
        return steps[number - 1]
    talk.say(f"Type the number of a step, from 1 to {len(steps)}, after the word.")
    return None


def _why(talk: Talk, card: Card, rest: str) -> None:
    """Say why the step in hand is done; of a card that was read short, everything.

    With a number, everything is read of the step of that number.
    """
    if rest:
        other = step_numbered(talk, rest)
        if other is not None:
            say_all(talk.lines, read_card(talk.work.look_card(other), other.why or "", card))
        return
    if talk.guided(card, with_why=True).short:
        talk.guidance.turn(card, with_why=True)
        talk.read(card)
        return
    step = talk.step_of(card)
    why = step.why if step is not None else None
    talk.say(f"Why: {why}" if why else card.no_why)


def _lines(talk: Talk, card: Card, rest: str) -> None:
    say_all(talk.lines, read_rows(card) or _entered(talk) or ["There is no list here."])


def _entered(talk: Talk) -> list[str]:
    return [f"{n}. {entry}" for n, entry in enumerate(talk.entries, 1)]


def _line(talk: Talk, card: Card, rest: str) -> None:
    number = read_number(rest)
    if number is not None and 1 <= number <= len(card.rows):
        talk.line = number - 1
    elif card.rows:
        talk.say(f"Type the number of a line, from 1 to {len(card.rows)}, after the word.")
    else:
        talk.say("There is no list here.")


def _undo(talk: Talk, card: Card, rest: str) -> None:
    if talk.entries:
        *kept, last = talk.entries
        talk.list_on(tuple(kept), card)
        talk.say(f"Taken back: {last}")
    else:
        again = f"{mark_at(card)}reopen"
        talk.say(f"There is no entry to take back. For a finished step, type {again}.")


# --- from any step -----------------------------------------------------------------------------


def _form(make: Callable[[], Form[Deed]]) -> Offer:
    """Return the offer that asks a form which depends on nothing."""

    def offer(talk: Talk, card: Card, rest: str) -> None:
        talk.ask(make())

    return offer


def _photo(talk: Talk, card: Card, rest: str) -> None:
    talk.ask(photo_form(talk.work.shop))


def _pause(talk: Talk, card: Card, rest: str) -> None:
    job = talk.work.job
    talk.ask(job_forms.pause_form(why_parts_stop(job.procedure, job.state)))


def _clear(talk: Talk, card: Card, rest: str) -> None:
    form = job_forms.clear_form(talk.work.job.state)
    if form is None:
        talk.say("No fault is open.")
    else:
        talk.ask(form)


def _reopen(talk: Talk, card: Card, rest: str) -> None:
    procedure, state = talk.work.job.procedure, talk.work.job.state
    name = last_finished(state)
    last = procedure.steps[name] if name is not None else None
    step = step_numbered(talk, rest) if rest else last
    if step is not None and state.track(step.id).finished:
        talk.ask(job_forms.reopen_form(procedure, state, step))
    elif step is not None or not rest:
        talk.say("Only a finished step can be reopened.")


def _hand_over(talk: Talk, card: Card, rest: str) -> None:
    state = talk.work.job.state
    others = tuple(name for name in talk.work.shop.staff if name != state.technician)
    if others:
        talk.ask(job_forms.hand_over_form(others))
    else:
        talk.say("Nobody else is on the staff of this shop.")


def _late(talk: Talk, card: Card, rest: str) -> None:
    def take(claimed: datetime) -> None:
        talk.work.date_back(claimed, on_paper=False)
        talk.say(talk.work.dated_back)

    ask_form(talk.lines, job_forms.late_form(talk.work.now()), take)


def _paper(talk: Talk, card: Card, rest: str) -> None:
    talk.copy_from_paper()


def _plan(talk: Talk, card: Card, rest: str) -> None:
    from baycompanion.working.planning import plan_form  # reads the wiring, and few jobs need it

    talk.ask(plan_form(talk.work.shop))


def _revise(talk: Talk, card: Card, rest: str) -> None:
    """Say what the newer revision on the shelf changes, and ask why the job goes on by it."""
    work = talk.work
    if not isinstance(work, AtWork):
        talk.say("A practice keeps the revision that it began with.")
        return
    try:
        newer = newer_revision(work)
        why_not = why_not_now(work, newer) if newer is not None else ""
    except (StoreTrouble, BadFile) as trouble:
        talk.say(str(trouble).splitlines()[0])
        return
    if newer is None:
        talk.say("The shelf holds no newer revision of this procedure.")
        return
    if why_not:
        talk.say(why_not)
        return

    def take(words: str) -> str | None:
        return go_on_by(work, newer, words)

    if ask_form(talk.lines, revise_form(work, newer), take):
        talk.say(f"The job goes on by revision {newer.procedure.revision}.")


def _sum(talk: Talk, card: Card, rest: str) -> None:
    keep = talk.do if talk.work.job.state.status == "open" else None
    work_sum(talk.lines, talk.work.shop.figures, rest, keep)


def _photos(talk: Talk, card: Card, rest: str) -> None:
    job, now = talk.work.job, talk.work.now()
    taken = photos_of(job.state)
    for photo in taken:
        talk.say(photo_line(job.procedure, photo, now))
        content = read_photo(job.photos, photo.data.file, photo.data.sha256)
        if isinstance(content, str):
            talk.say(f"It cannot be shown: {content}.")
    talk.say(f"They were copied to {job.photos}." if taken else "There is no photo in this job.")


def _timeline(talk: Talk, card: Card, rest: str) -> None:
    """Tell the timeline of an ended job; before that, a fault in it may say too much."""
    job = talk.work.job
    if not job.ended:
        talk.say("The timeline is told once the job has ended.")
        return
    timeline = make_timeline(job.procedure, job.events)
    say_all(talk.lines, told_lines(job.procedure, timeline, talk.work.now().tzinfo))


def _earlier(talk: Talk, card: Card, rest: str) -> None:
    job = talk.work.job
    say_all(talk.lines, (each.words for each in earlier_pieces(job.procedure, job.state)))


def _record(talk: Talk, card: Card, rest: str) -> None:
    try:
        written = talk.work.job.write_record()
    except StoreTrouble as trouble:
        talk.say(str(trouble))
        return
    provisional = "" if talk.work.job.ended else ", marked provisional"
    talk.say(f"Written{provisional}: {written}")


def _more(talk: Talk, card: Card, rest: str) -> Leaving | None:
    """Offer what the menu of the screens offers, apart from how it looks."""
    entries = [entry for entry in talk.work.menu if entry.does != "ground"]
    say_all(talk.lines, (f"{n}. {entry.label.rstrip('…')}" for n, entry in enumerate(entries, 1)))
    while typed := talk.lines.ask(f"A number from 1 to {len(entries)}, or Enter for none:"):
        number = read_number(typed)
        if number is not None and 1 <= number <= len(entries):
            return _chosen(talk, card, entries[number - 1])
        talk.say(f"{quoted(typed)} is none of them.")
    return None


def _chosen(talk: Talk, card: Card, entry: MenuEntry) -> Leaving | None:
    if isinstance(entry.does, Form):
        talk.ask(entry.does)
        return None
    return talk.offers[entry.does](talk, card, "")


def _board(talk: Talk, card: Card, rest: str) -> Leaving:
    return "board"


def _quit(talk: Talk, card: Card, rest: str) -> Leaving:
    return "quit"


OFFERS: dict[str, Offer] = {
    "help": _help,
    "again": _again,
    "where": _where,
    "steps": _steps,
    "look": _look,
    "why": _why,
    "lines": _lines,
    "line": _line,
    "undo": _undo,
    "wait": wait,
    "late": _late,
    "paper": _paper,
    "note": _form(job_forms.note_form),
    "photo": _photo,
    "fault": _form(job_forms.fault_form),
    "clear": _clear,
    "reopen": _reopen,
    "pause": _pause,
    "hand over": _hand_over,
    "sum": _sum,
    "circuit": _form(borrow_form),
    "plan": _plan,
    "photos": _photos,
    "timeline": _timeline,
    "earlier": _earlier,
    "record": _record,
    "revise": _revise,
    "give up": _form(job_forms.abandon_form),
    "more": _more,
    "board": _board,
    "quit": _quit,
}
"""By the word of the program, what it does in a job."""
