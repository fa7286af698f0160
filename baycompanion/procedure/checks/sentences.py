"""Sentences and words, as far as the wording of a procedure can be judged without a dictionary."""

import re

_END = re.compile(r"(?<=[.!?])(?<!e\.g\.)(?<!i\.e\.)[”\")]?\s+(?=[“\"(]?[A-Z0-9])")
_WORD = re.compile(r"[^\W_](?:[^\s]*[^\W_])?")
_OPENING = re.compile(r"(?:If|When|Where|With|Without|Before|After|Once|On|In|At|For)\b[^,]*,\s*")
_JOINED = re.compile(r"(?:[,;]\s*|\s)(?:and then|then|and)\s+|;\s+")
_SUBORDINATE = re.compile(
    r"\b(?:if|when|while|where|until|before|after|because|so|that|which|who|than|whether|together"
    r"|to(?!\s+[0-9]))\b|at the same time"
)
_OBJECT = re.compile(
    r"\s+(?:the|a|an|each|every|all|both|it|them|its|their|any|no|one|two|three|four|another|this"
    r"|that|these|those|your|[0-9]+)\b"
)
_ACTS = frozenset(  # in one string: a list would stand one word a line
    "attach connect detach disconnect insert install insulate loosen pry reconnect refit remove"  # noqa: SIM905
    " replace tighten tug unclip unplug unscrew".split()
)
"""Words that are always an act."""
_ACTS_WITH_OBJECT = frozenset(
    "add ask bag bend bring cap charge choose clean clip close count cover crimp cut draw"  # noqa: SIM905
    " drill drive enter feed find fit fold give hang join label lay leave let lift lock log"
    " lower mark measure mount move name note open paint photograph place play plug press pull"
    " push put read record release route screw set show slide solder start stop strip swap"
    " switch tag take tape tell test tie touch trim try turn twist unlock use wait watch wipe"
    " wrap write zero".split()
)
"""Words that are an act where an object follows, and may be a thing or a quality otherwise."""
_BOTH_AT_ONCE = frozenset("hold keep support".split())  # noqa: SIM905
"""Words that begin two acts of two hands at one time, which may share a sentence."""


def sentences(text: str) -> list[str]:
    """Return the sentences of `text`; a point inside a number or a word ends none."""
    return [sentence.strip() for sentence in _END.split(text) if sentence.strip()]


def words(sentence: str) -> list[str]:
    """Return the words of `sentence`; a number counts as one."""
    return _WORD.findall(sentence)


def command(sentence: str) -> str:
    """Return `sentence` without a condition that opens it, like `If it is hot,` or `When off,`."""
    return _OPENING.sub("", sentence, count=1)


def act(text: str) -> str | None:
    """Return the act, in small letters, that `text` begins with, if it is clear that it does.

    A word that may as well be a thing (plug, clip, cover) counts where an object follows it.
    """
    match = re.match(r"[A-Za-z]+", text)
    word = match[0].lower() if match else ""
    if word in _ACTS:
        return word
    return word if word in _ACTS_WITH_OBJECT and _OBJECT.match(text, len(word)) else None


def second_act(sentence: str) -> str | None:
    """Return the second act that `sentence` commands, if it is clear that it commands two.

    Clear is: it begins with an act, and one follows after `and`, `then` or a semicolon. What
    stands after if, until, so that and the like belongs to a part of the sentence that commands
    nothing, and two hands may act at once after hold, keep or support.
    """
    main = command(sentence)
    first = re.match(r"[A-Za-z]+", main)
    if first is None or first[0].lower() in _BOTH_AT_ONCE:
        return None
    if first[0].lower() not in _ACTS | _ACTS_WITH_OBJECT:
        return None
    aside = _SUBORDINATE.search(main)
    if aside is not None and aside[0] in ("together", "at the same time", "while"):
        return None
    limit = aside.start() if aside is not None else len(main)
    joined = (match.end() for match in _JOINED.finditer(main) if match.end() <= limit)
    return next((found for at in joined if (found := act(main[at:])) is not None), None)
