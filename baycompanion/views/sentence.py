"""One sentence for the person, out of a refusal or out of what a model says of an entry."""

import re

from pydantic import ValidationError

from baycompanion.job.deciding.draft import Refused

_LONG_QUOTATION = re.compile("“([^”]{60})[^”]{2,}”")
"""What was typed is quoted back, and can be ten thousand characters long."""


def first_sentence(error: ValueError) -> str:
    """Return what a model or a reader says of an entry, in one line."""
    return _shortened(_whole_sentence(error))


def _whole_sentence(error: ValueError) -> str:
    if not isinstance(error, ValidationError):
        return f"{error}".rstrip(".") + "."
    first = error.errors()[0]
    own = first.get("ctx", {}).get("error")
    if isinstance(own, ValueError) and own.args and isinstance(own.args[0], tuple):
        return f"{'. '.join(own.args[0])}."
    return f"{first['msg']}.".replace("..", ".")


def refusal(refused: Refused) -> str:
    """Return why something was refused, and what opens the way, in one line."""
    things = " · ".join(thing.words for thing in refused.opens_by if thing.words)
    return _shortened(f"{refused.why} {things}".strip())


def _shortened(sentence: str) -> str:
    return _LONG_QUOTATION.sub("“\\1…”", sentence)
