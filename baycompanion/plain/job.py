"""The job line by line: a card is read, a line is typed, and what it means is done."""

import contextlib
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.job.deciding.draft import Person
from baycompanion.plain.form import ask_form
from baycompanion.plain.meaning import Doubt, Listed, Meaning, Wrong, understand
from baycompanion.plain.offers import OFFERS, look_at
from baycompanion.plain.prompt import prompt, row_in_hand
from baycompanion.plain.reading import same_card, without_sign
from baycompanion.plain.seat_lines import SeatLines
from baycompanion.plain.talk import Leaving, Talk
from baycompanion.plain.terminal import Lines
from baycompanion.plain.waiting import seconds_to_wait
from baycompanion.plain.words import Said
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.views.board.board import waits_for
from baycompanion.views.card import place
from baycompanion.views.card.card import Again, Aside, Card, Deed, First, Form, GoTo
from baycompanion.views.card.menu import refused_now
from baycompanion.views.vehicle_in import vehicle_warning
from baycompanion.working.at_work import AtWork

if TYPE_CHECKING:  # few jobs are practice
    from baycompanion.working.practice.practising import AtPractice

Now = Callable[[], datetime]


def walk_job(shop: Shop, folder: Path, who: Person | None, lines: Lines, now: Now) -> Leaving:
    """Walk through the job in `folder`, opened by `who` or whoever has it, until it is left.

    Raises:
        StoreTrouble: Somebody else has it open, or a file of it cannot be read or written.
        BadFile: The procedure that it began with cannot be read any more.
        EOFError: The input is at its end; the job is left.
    """
    person = who or shop.known(read_job(folder).state.technician)
    work = AtWork(shop, OpenJob(folder, shop.lists, person, now()), now, who)
    return walk(Talk(SeatLines(lines, work.seat), work, OFFERS))


def walk(talk: Talk) -> Leaving:
    """Walk through the job or the practice that `talk` is about, until it is left.

    Raises:
        EOFError: The input is at its end; the job is left.
    """
    with _left_in_the_end(talk.work, talk.lines), talk.work.watch.running():
        _greet(talk)
        return _walk(talk)


@contextlib.contextmanager
def _left_in_the_end(work: "AtWork | AtPractice", lines: Lines) -> Iterator[None]:
    """Give the job back whatever happens, and say where it was left while somebody listens."""
    try:
        yield
    except BrokenPipeError:
        raise
    except (EOFError, KeyboardInterrupt):
        _say_where_left(work, lines)
        raise
    else:
        _say_where_left(work, lines)
    finally:
        work.job.leave()


def _say_where_left(work: "AtWork | AtPractice", lines: Lines) -> None:
    state = work.job.state
    if work.job.is_practice:  # what comes next may be the question that was left
        left = f"Left: practice {state.opened.job}."
    else:
        waits = waits_for(work.job.procedure, state)
        left = f"Left: job {state.opened.job}, {waits}{'' if waits.endswith(('.', '?')) else '.'}"
    if not work.job.ended:
        lines.say(f"{left} Everything saved is on the disk.")


def _greet(talk: Talk) -> None:
    """Say which job it is, and when it was left."""
    job = talk.work.job
    talk.say(place.where(job.procedure, job.state))
    if job.events[-1].seq > 1:
        talk.say(place.return_line(job.left_at, bool(job.torn), talk.work.now()))
    elif warning := vehicle_warning(job.state.opened.vehicle, job.state.opened.earlier):
        talk.say(warning)


def _walk(talk: Talk) -> Leaving:
    """Read a card and do what is typed, again and again, until the person leaves."""
    while True:
        card = talk.work.card
        talk.read_if_new(card)
        if talk.copy_on():
            continue
        row = row_in_hand(card, talk.line)
        locked = talk.work.seat.locked
        typed = talk.lines.ask(prompt(card, row, len(talk.entries), _more(talk, card)))
        if talk.work.seat.locked and not locked:
            talk.say("Nobody typed for a while, so the job is locked, and that line did nothing.")
            continue
        meant = understand(card, row, talk.entries, typed, talk.words)
        leaving = _obey(talk, card, meant)
        if leaving is not None:
            return leaving


def _more(talk: Talk, card: Card) -> str:
    """Return the word that fits `card` and is not among its keys."""
    if card.kind == "ended":
        return "board or quit to leave"
    if seconds_to_wait(talk, card) and not any(key.enter for key in card.keys):
        return "Enter for the time left, wait to stay until it is over"
    return ""


def _obey(talk: Talk, card: Card, meant: Meaning) -> Leaving | None:
    """Do what was typed."""
    if isinstance(meant, Said):
        if meant.name in refused_now(talk.work.job.state):
            talk.say(_why_refused(talk))
            _come_back(talk, card)
            return None
        leaving = talk.offers[meant.name](talk, card, meant.rest)
        if leaving is None and meant.name not in ("again", "line", "undo"):
            _come_back(talk, card)
        return leaving
    if isinstance(meant, Doubt):
        _ask_if_meant(talk, card, meant)
    else:
        _answer(talk, card, meant)
    return None


def _why_refused(talk: Talk) -> str:
    """Return why the job takes nothing of the kind now: before anything is asked for it."""
    status = talk.work.job.state.status
    if status == "paused":
        return "The job is paused. Go on with it first."
    return f"This job is {status}; its record only stands to be read."


def _come_back(talk: Talk, card: Card) -> None:
    """Say what is in hand, where it is still what it was."""
    now = talk.work.card
    if same_card(now, talk.heard):
        talk.read_place(now)


def _answer(talk: Talk, card: Card, meant: Meaning) -> None:
    if isinstance(meant, Deed):
        talk.do(meant)
    elif isinstance(meant, Form):
        talk.ask(meant)
    elif isinstance(meant, First):
        ask_form(talk.lines, meant.form, meant.take)
    elif isinstance(meant, Aside):
        meant.do()
        talk.read(talk.work.card)
    elif isinstance(meant, Again):
        talk.work.again = True
    elif isinstance(meant, GoTo):
        look_at(talk, talk.work.job.procedure.steps[meant.step])
        _come_back(talk, card)
    elif isinstance(meant, Listed):
        _add_entry(talk, card, meant.entry)
    elif isinstance(meant, Wrong):
        talk.say(meant.sentence)


def _ask_if_meant(talk: Talk, card: Card, doubt: Doubt) -> None:
    """Ask once more before a value is kept for ever that comes out badly."""
    typed = talk.lines.ask(f"{doubt.said}. Enter saves it as it is, or type it again:")
    if typed:
        row = row_in_hand(card, talk.line)
        _obey(talk, card, understand(card, row, talk.entries, typed, talk.words))
    else:
        talk.do(doubt.deed)


def _add_entry(talk: Talk, card: Card, entry: str) -> None:
    """Add one entry to the list, and say where it differs from the list before."""
    listed = card.list_entry
    assert listed is not None
    before, place_in_list = listed.before, len(talk.entries)
    talk.list_on((*talk.entries, listed.tidy(entry)), card)
    said = listed.says(entry)
    if said is not None:
        talk.say(f"{without_sign(said.words)} To take your entry back, type ?undo.")
    if place_in_list < len(before) and not listed.same(before[place_in_list], entry):
        talk.say(f"Before it was {before[place_in_list]}. To take your entry back, type ?undo.")
