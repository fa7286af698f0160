"""Waiting in the place of the person: one line when it begins, one when the time is over."""

from time import sleep

from baycompanion.plain.talk import Talk
from baycompanion.procedure.steps import Wait
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.duration import countdown
from baycompanion.views.card.card import Card
from baycompanion.views.card.waiting import seconds_left


def wait(talk: Talk, card: Card, rest: str) -> None:
    """Stay until the wait in hand is over; Ctrl-C gives the question back before."""
    left = seconds_to_wait(talk, card)
    if left is None:
        talk.say("There is no time here to wait for.")
        return
    if left > 0:
        talk.say(f"{countdown(left)} to go. Waiting; Ctrl-C gives the question back before.")
    try:
        _stay(talk, card)
    except KeyboardInterrupt:
        talk.say(f"Not waiting any more: {countdown(seconds_to_wait(talk, card) or 0)} to go.")
    except StoreTrouble as trouble:
        talk.say(str(trouble))


def seconds_to_wait(talk: Talk, card: Card) -> int | None:
    """Return the seconds that the wait in hand still has to run, None where none is known."""
    step = talk.step_of(card)
    if card.kind != "step" or not isinstance(step, Wait):
        return None
    return seconds_left(talk.work.job.state, step, talk.work.now())


def _stay(talk: Talk, card: Card) -> None:
    """Let the time pass second by second, as long as the laptop stays awake.

    Raises:
        StoreTrouble: The laptop slept, and that could not be saved.
    """
    while (left := seconds_to_wait(talk, card)) is not None and left > 0:
        sleep(1)
        if talk.work.notice_sleep():
            return
    talk.say("The time is over.")
