"""The language of every shipped procedure, by rules blunter than those of `check`.

Words are told by spaces, and two acts by the words themselves, so that what `check` overlooks is
seen here. The limits of 20 and 25 words are those of simplified technical English (quoted from
memory); the rest is the project's own.
"""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import Loaded
from baycompanion.procedure.steps import Measure, Step
from baycompanion.store.shelf import find_procedure, read_procedure, shipped
from baycompanion.trade.catalogue import SUMS

SHIPPED = sorted(path.stem for path in shipped("procedures").glob("*.yaml"))
every_procedure = pytest.mark.parametrize("name", SHIPPED)

ACTS = (
    "add aim ask bag bring cap charge check choose clean clear clip close connect cover crimp cut"
    " draw drill enter fasten feed find fit fold give go hang hold join keep label lay leave let"
    " lift lock lower measure move note open paint play plug press pull push put read remove rest"
    " route screw set slide solder start stop strip swap switch tag take tape tell test tie"
    " tighten touch trim try turn twist unlock unplug use wait watch wipe wrap write zero"
)
"""What people are told to do at a vehicle."""
_ACT = f"(?:{ACTS.replace(' ', '|')})"
_OBJECT = "(?:the|a|an|it|them|its|their|your|no|each|every|one|two|both)"
TWO_ACTS = re.compile(
    rf"^{_ACT}\b.*(?:,|;|\band\b|\bthen\b) (?:then )?{_ACT} {_OBJECT}\b", re.IGNORECASE
)
BOTH_HANDS = re.compile(r"^(?:Hold|Keep)\b|\b(?:while|until|so that|where)\b", re.IGNORECASE)
"""What goes on at one time, or belongs to a part of the sentence that commands nothing."""
QUANTITY = re.compile(r"(?<![-\w./])[0-9]+(?:\.[0-9]+)?(?![-\w]|\.[0-9]|/)")
UNITS = "A Ah AWG GB Hz Nm N mA mV V W cm mm m s min h °C Ω cmil % kHz dB months km mi days"
COUNTED = re.compile(
    rf"^ (?:{UNITS.replace(' ', '|')})\b|^ (?:%|°C|Ω)|^(?: to [0-9]| of\b|, | and [0-9]| or [0-9])"
)
REASONED = ("check", "measure", "sum", "wait", "witness", "choose", "count", "inspect")
"""Verbs that ask for something: whoever is asked wants to know why."""


@cache
def procedure(name: str) -> Loaded:
    return read_procedure(find_procedure(name, Path("nowhere")))


def steps(name: str) -> Iterator[Step]:
    for phase in procedure(name).procedure.phases:
        yield from phase.steps


def told(step: Step) -> Iterator[str]:
    """Yield every sentence that tells a person what to do."""
    for text in (step.text, *step.details):
        yield from re.split(r"(?<=[.?!])\s+(?=[A-Z0-9])", text)


def spaced(sentence: str) -> int:
    return sum(any(sign.isalnum() for sign in word) for word in sentence.split())


@every_procedure
def test_check_finds_nothing_to_say(name: str) -> None:
    assert check(procedure(name), SUMS) + check_language(procedure(name)) == []


@every_procedure
def test_no_sentence_is_too_long(name: str) -> None:
    for step in steps(name):
        assert [each for each in told(step) if spaced(each) > 20] == [], step.id
        assert all(spaced(each) <= 25 for each in re.split(r"(?<=[.?!])\s", step.why or ""))
    for gate in procedure(name).procedure.gates:
        assert all(spaced(each) <= 25 for each in re.split(r"(?<=[.?!])\s", gate.because))


@every_procedure
def test_a_sentence_commands_one_act(name: str) -> None:
    for step in steps(name):
        for sentence in told(step):
            main = re.sub(r"^(?:If|Where|When|With|On|In|At|For|After)\b[^,]*, ", "", sentence)
            two = TWO_ACTS.search(main) and not BOTH_HANDS.search(main)
            assert not two, (step.id, sentence)


@every_procedure
def test_every_gate_says_why_and_so_does_every_step_that_asks(name: str) -> None:
    assert [
        gate.gate for gate in procedure(name).procedure.all_gates.values() if not gate.because
    ] == []
    assert [each.id for each in steps(name) if each.verb in REASONED and each.why is None] == []


@every_procedure
def test_every_phase_has_its_target(name: str) -> None:
    assert [each.phase for each in procedure(name).procedure.phases if each.target is None] == []


@every_procedure
def test_what_is_looked_at_or_read_takes_a_shortest_time(name: str) -> None:
    looked = [each for each in steps(name) if each.verb in ("check", "measure")]
    assert [each.id for each in looked if each.shortest is None] == []


@every_procedure
def test_a_limit_and_a_torque_say_where_they_come_from(name: str) -> None:
    for step in steps(name):
        if isinstance(step, Measure) and (step.at_least, step.at_most) != (None, None):
            assert step.source, step.id
        assert all(torque.source for torque in step.torque), step.id


@every_procedure
def test_a_number_has_its_unit(name: str) -> None:
    """What stands after “as in” shows how something is typed, and needs none."""
    for step in steps(name):
        for sentence in (each.split(", as in ")[0] for each in told(step)):
            for found in QUANTITY.finditer(sentence):
                assert COUNTED.search(sentence[found.end() :]), (step.id, sentence)
