"""What is left of a line of guidance once it has faded, and which lines never fade.

Only the details and the why of a step are ever shortened. A line of them that could be a caution
or a limit stays whole: whatever has a number, a unit, a word of a limit, of a condition, of a
prohibition or of a hazard, or a longer word of the step's own cautions. The words are common in
workshop cautions and an own choice, no source; in doubt a line stays whole. They are English, as
the words of this program are: where procedures are in another language, a shop sets 0.
"""

import re

from baycompanion.learning.fading import Level
from baycompanion.procedure.steps import Measure, Record, Step

FIRST_WORDS = 4
"""How many words of a line are its first words. Own choice: most name the act and its object."""

CUT = "…"

_LONG_WORD = 5
"""From so many letters on a word of a caution is taken for one that says what it is about."""

_NUMBERS = (
    "zero two three four five six seven eight nine ten eleven twelve dozen half quarter third twice"
)
_LIMITS = (
    "least most more less than maximum minimum limit limits within between exceed exceeds below "
    "above under over beyond tolerance rating rated torque tight"
)
_CONDITIONS = "until unless before only must if"
_PROHIBITIONS = (
    "no not never none nothing nobody neither nor without avoid cannot stop leave keep off away"
)
_HAZARDS = (
    "danger warning caution notice hazard hazards care careful carefully risk risks hurt hurts "
    "harm harms injure injury injuries burn burns spark sparks shock shocks fire short shorts live "
    "hot sharp poison fumes acid explode explodes gloves glasses airbag airbags belt belts brake "
    "brakes steering isolate isolated disconnect disconnected safe safety park jack pinch crush "
    "eye eyes"
)
_SYMBOLS = "mV kV mA Ah mm cm km kHz MHz Hz kW Nm °C dB AWG Ω kΩ MΩ"
"""Symbols of units that no word of a sentence looks like; V and A are told by the step's unit."""
_UNITS = frozenset(_SYMBOLS.split())
_STAYS = frozenset(" ".join((_NUMBERS, _LIMITS, _CONDITIONS, _PROHIBITIONS, _HAZARDS)).split())

_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def shortened(line: str, step: Step, level: Level) -> str:
    """Return what is shown at `level` of `line`, a detail or the why of `step`; "" for nothing."""
    if level == "full" or never_fades(line, step):
        return line
    return first_words(line) if level == "first words" else ""


def first_words(line: str) -> str:
    """Return the first words of `line` and the sign that more follows; a short line is whole."""
    words = line.split()
    if len(words) <= FIRST_WORDS + 1:  # the sign would stand for one word
        return line
    return " ".join(words[:FIRST_WORDS]).rstrip(",;:.") + CUT


def never_fades(line: str, step: Step) -> bool:
    """Return whether `line` may be a caution, a limit or a reading, and so stays whole."""
    said = _words(line)
    return (
        any(letter.isnumeric() or letter == "!" for letter in line)
        or not said.isdisjoint(_STAYS)
        or any("n't" in word or "n’t" in word for word in said)
        or _names_unit(line, step)
        or not said.isdisjoint(_cautioned(step))
    )


def _words(text: str) -> frozenset[str]:
    return frozenset(word.casefold() for word in _WORD.findall(text))


def _names_unit(line: str, step: Step) -> bool:
    """Return whether a unit stands in `line`, in its own case: V is no v."""
    own = step.unit if isinstance(step, Measure | Record) else None
    units = _UNITS | {own} if own else _UNITS
    return any(re.search(rf"(?<!\w){re.escape(unit)}(?!\w)", line) for unit in units)


def _cautioned(step: Step) -> frozenset[str]:
    """Return the longer words in which the cautions of `step` say what the hazard is."""
    said = (f"{caution.hazard} {caution.avoid}" for caution in step.cautions)
    return frozenset(w for text in said for w in _words(text) if len(w) >= _LONG_WORD)
