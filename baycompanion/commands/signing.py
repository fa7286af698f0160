"""A PIN asked for at the prompt, before a command does something in somebody's name."""

from datetime import datetime

from baycompanion.commands.asking import ask_line
from baycompanion.job.deciding.draft import Person
from baycompanion.store.shop import Shop


def sign(shop: Shop, who: Person, when: datetime) -> Person:
    """Return `who` after they gave their PIN, as whoever has none is believed by id alone.

    Raises:
        WrongPin: It is not theirs, or a wait after wrong ones is not over.
        StoreTrouble: The staff file cannot be read.
        UsageError: A pipe has come to its end, or holds no text.
    """
    if shop.members[who.id].pin is None:
        return who
    return shop.prove(who.id, ask_line(f"PIN of {who.id}", unseen=True), when)
