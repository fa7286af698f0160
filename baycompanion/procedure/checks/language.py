"""Warnings about wording: long sentences, two acts in one, vague amounts, work hidden in cautions.

The rules follow plain technical English as it is written for people at work. Each is kept to what
can be seen with few false alarms: a warning that is usually wrong is one that nobody reads.
"""

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.checks.sentences import act, command, second_act, sentences, words
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.load import Loaded
from baycompanion.procedure.steps import Check, Step
from baycompanion.procedure.walk import Path, StepAt, items_at, steps_at
from baycompanion.text.problem import Problem, quoted

LONGEST_INSTRUCTION = 20
"""Words in a sentence that tells a person what to do."""
LONGEST_EXPLANATION = 25
"""Words in a sentence that says why."""
CAUTIONED_SHARE = 1 / 3
"""Largest share of steps with a caution; one that is everywhere is read nowhere."""
CAUTIONED_STEPS = 12
"""Fewest steps from which that share is judged."""
MOST_REPEATS = 2
"""How many steps may carry a caution in the same words."""
FEW_CONDITIONS = 3
"""Most conditions of a gate whose steps must each say why."""

Role = Literal["instruction", "explanation", "avoid", "name"]


class Text(NamedTuple):
    """One text of a procedure and the part it plays."""

    path: Path
    role: Role
    text: str


def check_language(loaded: Loaded) -> list[Problem]:
    """Return a warning for each wording that a person at work would stumble over, in order."""
    findings = Findings.on(loaded)
    found = [
        *(warning for text in _texts(findings) for warning in _wording(findings, text)),
        *_checks_that_move(findings),
        *_hidden_work(findings),
        *_too_many_cautions(findings),
        *_repeated_cautions(findings),
        *_gates_without_why(findings),
    ]
    return sorted(dict.fromkeys(found))


def _texts(findings: Findings) -> Iterator[Text]:
    """Yield every text that a person reads at work."""
    procedure = findings.procedure
    yield Text(("fits",), "explanation", procedure.fits)
    yield from _of_cautions(("hazards",), procedure.hazards)
    for place, standing in enumerate(procedure.standing):
        yield Text(("standing", place, "says"), "instruction", standing.says)
        yield Text(("standing", place, "ask"), "instruction", standing.ask)
    for at in steps_at(procedure):
        yield from _of_step(at)
    for place, gate in enumerate(procedure.gates):
        yield Text(("gates", place, "because"), "explanation", gate.because)
    for place, line in enumerate(procedure.for_the_owner):
        yield Text(("for-the-owner", place, "tell"), "avoid", line.tell)


def _of_step(at: StepAt) -> Iterator[Text]:
    yield Text((*at.path, at.step.verb), "instruction", at.step.text)
    for place, detail in enumerate(at.step.details):
        yield Text((*at.path, "details", place), "instruction", detail)
    if at.step.why is not None:
        yield Text((*at.path, "why"), "explanation", at.step.why)
    for below, item in items_at(at.step):
        yield Text((*at.path, *below, "name"), "name", item.name)
    yield from _of_cautions((*at.path, "cautions"), at.step.cautions)


def _of_cautions(path: Path, cautions: tuple[AnyCaution, ...]) -> Iterator[Text]:
    for place, caution in enumerate(cautions):
        yield Text((*path, place, caution.signal), "explanation", caution.hazard)
        yield Text((*path, place, "consequence"), "explanation", caution.consequence)
        yield Text((*path, place, "avoid"), "avoid", caution.avoid)


def _wording(findings: Findings, text: Text) -> Iterator[Problem]:
    """Yield what can be said of one text on its own."""
    yield from _other_names(findings, text)
    if text.role == "name":
        yield from _vague(findings, text)
        return
    for sentence in sentences(text.text):
        yield from _long(findings, text, sentence)
    if text.role != "explanation":
        yield from _vague(findings, text)
    if text.role == "instruction":
        for sentence in sentences(text.text):
            yield from _two_acts(findings, text, sentence)
            yield from _late_condition(findings, text, sentence)


def _long(findings: Findings, text: Text, sentence: str) -> Iterator[Problem]:
    most = LONGEST_EXPLANATION if text.role == "explanation" else LONGEST_INSTRUCTION
    count = len(words(sentence))
    if count > most:
        what = f"This sentence has {count} words: {quoted(sentence)}"
        yield findings.warning(text.path, what, f"Write sentences of {most} words or fewer")


def _two_acts(findings: Findings, text: Text, sentence: str) -> Iterator[Problem]:
    second = second_act(sentence)
    if second is not None:
        what = f"This sentence commands two acts, the second is “{second}”: {quoted(sentence)}"
        yield findings.warning(text.path, what, "Write each act as a sentence or a step of its own")


_LATE_IF = re.compile(r"(?<!only)(?<!even)(?<!as)\s+if\s")


def _late_condition(findings: Findings, text: Text, sentence: str) -> Iterator[Problem]:
    """Yield a command whose condition comes only after the act, when it may be done already."""
    if act(sentence) is not None and _LATE_IF.search(sentence):
        what = f"The condition comes after the act: {quoted(sentence)}"
        yield findings.warning(text.path, what, "Begin the sentence with If")


_VAGUE = re.compile(
    r"\b(?:snug(?:ly)?|adequate(?:ly)?|sufficient(?:ly)?|appropriate(?:ly)?|properly|reasonabl[ey]"
    r"|as (?:required|needed|necessary|appropriate)|if (?:required|needed|necessary)"
    r"|a (?:bit|little|while)|a few (?:seconds|minutes|turns|times|more)|several|some time"
    r"|enough(?!\s+(?:to|for|that)\b))\b",
    re.IGNORECASE,
)
_BY_FEEL = re.compile(r"(?<![-\w])(?:tight|tightly|firm|firmly)\b(?!-)", re.IGNORECASE)
_HAS_A_RULE = re.compile(r"[0-9]|\buntil\b|\bso that\b|\bby hand\b")


def _vague(findings: Findings, text: Text) -> Iterator[Problem]:
    """Yield amounts that two people would read differently."""
    for sentence in sentences(text.text):
        found = _VAGUE.search(sentence)
        if found is None and not _HAS_A_RULE.search(sentence):
            found = _BY_FEEL.search(sentence)
        if found is not None:
            yield findings.warning(
                text.path,
                f"“{found[0]}” is no amount",
                "Write a number with its unit, or something that the eye can settle",
            )


_ONE_NAME = {
    "aerial": "antenna",
    "aerials": "antennas",
    "car stereo": "receiver",
    "fascia kit": "dash kit",
    "head unit": "receiver",
    "head units": "receivers",
    "headunit": "receiver",
    "job card": "work order",
    "wiring loom": "harness",
    "loom": "harness",
    "walk-around": "walkaround",
}
_OTHER_NAME = re.compile(rf"\b(?:{'|'.join(sorted(_ONE_NAME, key=len, reverse=True))})\b", re.I)


def _other_names(findings: Findings, text: Text) -> Iterator[Problem]:
    """Yield second names for a thing that has its one name in these procedures."""
    for found in _OTHER_NAME.findall(text.text):
        what = f"“{found}” is a second name for a thing that has one"
        yield findings.warning(text.path, what, f"Write {_ONE_NAME[found.lower()]}")


_MOVING = frozenset(
    "connect cut detach disconnect drill insert install loosen reconnect refit remove replace"  # noqa: SIM905
    " solder strip tighten unclip unplug unscrew".split()
)


def _checks_that_move(findings: Findings) -> Iterator[Problem]:
    """Yield checks that begin by taking something apart or putting it together."""
    for at in steps_at(findings.procedure):
        first = act(command(at.step.text)) if isinstance(at.step, Check) else None
        if first in _MOVING:
            yield findings.warning(
                (*at.path, "check"),
                f"A check only looks and compares, and this one begins with “{first}”",
                "Write that act as a do: of its own before it",
            )


_WORK = frozenset(
    "check connect discharge disconnect drain insulate measure reconnect record test tighten torque"  # noqa: SIM905
    " unplug wait write".split()
)
_FIRST_WORD = re.compile(r"[A-Za-z]+")


def _hidden_work(findings: Findings) -> Iterator[Problem]:
    """Yield cautions that command work which no step of the procedure has a tick for.

    A caution may say how to act. It hides work when a sentence of it begins with an act of the
    trade, or lines acts up with “then”, and no step has that word and another of its words.
    """
    steps = [_said(at.step) for at in steps_at(findings.procedure)]
    for at in steps_at(findings.procedure):
        for place, caution in enumerate(at.step.cautions):
            for sentence in sentences(caution.avoid):
                first = _FIRST_WORD.match(command(sentence))
                word = first[0].lower() if first else ""
                if (word in _WORK or " then " in sentence) and not _ticked(word, sentence, steps):
                    yield findings.warning(
                        (*at.path, "cautions", place, "avoid"),
                        f"Work is hidden in this caution: {quoted(sentence)}",
                        "Write it as a step with a tick of its own, before this one",
                    )


def _said(step: Step) -> frozenset[str]:
    """Return the words of what `step` has people do."""
    return frozenset(word.lower() for text in (step.text, *step.details) for word in words(text))


def _ticked(act_word: str, sentence: str, steps: list[frozenset[str]]) -> bool:
    """Return whether some step has the act and one more of the longer words of `sentence`."""
    about = {word.lower() for word in words(sentence) if len(word) > 3} - {act_word}
    return any(act_word in said and about & said for said in steps)


def _too_many_cautions(findings: Findings) -> Iterator[Problem]:
    steps = steps_at(findings.procedure)
    cautioned = sum(1 for at in steps if at.step.cautions)
    if len(steps) >= CAUTIONED_STEPS and cautioned > len(steps) * CAUTIONED_SHARE:
        yield findings.warning(
            ("phases",),
            f"{cautioned} of {len(steps)} steps carry a caution, more than one in three",
            "Keep those that guard the step they stand at; put what is always true under hazards:",
        )


def _repeated_cautions(findings: Findings) -> Iterator[Problem]:
    """Yield a caution where more than `MOST_REPEATS` steps carry it in the same words."""
    seen: dict[str, list[Path]] = {}
    for at in steps_at(findings.procedure):
        for place, caution in enumerate(at.step.cautions):
            text = f"{caution.hazard} {caution.avoid}".casefold()
            seen.setdefault(text, []).append((*at.path, "cautions", place))
    for paths in seen.values():
        if len(paths) > MOST_REPEATS:
            first = findings.place(paths[0])
            yield findings.warning(
                paths[MOST_REPEATS],
                f"{len(paths)} steps carry this caution, first in {first.file}:{first.line}",
                "Keep it where it bites first, and put it under hazards: or standing:",
            )


def _gates_without_why(findings: Findings) -> Iterator[Problem]:
    """Yield the steps that a gate waits for, alone or with few others, and that do not say why.

    Where a gate waits for many alike, its own because: speaks for all of them.
    """
    procedure = findings.procedure
    waited = {
        step_named(leaf)
        for gate in procedure.gates
        if len(list(leaves(gate.until))) <= FEW_CONDITIONS
        for leaf in leaves(gate.until)
    }
    for at in steps_at(procedure):
        if at.step.id in waited and at.step.why is None:
            what = f"A gate waits for {quoted(at.step.id)}, which does not say why it matters"
            yield findings.warning((*at.path, "id"), what, "Write why: and one sentence")
