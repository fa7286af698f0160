"""What a person can do in practice alone: guess, take up the wrong step, look at the vehicle."""

from baycompanion.procedure.fields import Id
from baycompanion.text.to_model import Written


class SayNext(Written):
    """Say which step comes next, before it is shown."""

    say_next: Id


class TakeUp(Written):
    """Begin a step now, in its place or out of it."""

    take_up: Id


class LookAt(Written):
    """Look, measure or try at the made-up vehicle what the step in hand asks for."""

    look_at: Id
