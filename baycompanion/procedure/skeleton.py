"""The first draft of a procedure file: commented, and whole enough that `check` finds nothing."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import yaml

from baycompanion.procedure.fields import LONGEST_ID

USUAL_PROOF = "The work holds, and everything works as before."
"""What must be true before the keys go back, where nobody says otherwise."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody says of a procedure that they begin to write."""

    name: str
    title: str
    fits: str
    phases: tuple[str, ...]
    """Their titles in order, at least one."""
    tools: tuple[str, ...] = ()
    """What the tools are called in the bay."""
    proof: str = USUAL_PROOF
    """What must be true before the keys go back, as a sentence."""
    hazard: tuple[str, str, str] | None = None
    """What can do harm, what it does, and how it is avoided."""
    author: str = ""


def skeleton(wanted: Wanted) -> str:
    """Return the text of the file: a step in every phase, and one gate before the last step."""
    return "\n".join(_lines(wanted)) + "\n"


def name_of(words: str, taken: Iterable[str]) -> str:
    """Return a name made of `words` that is none of `taken`."""
    bare = re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")[: LONGEST_ID - 4].strip("-")
    base = bare or "x"
    known = set(taken)
    tries = (base, *(f"{base}-{number}" for number in range(2, len(known) + 3)))
    return next(name for name in tries if name not in known)


def _lines(wanted: Wanted) -> Iterator[str]:
    yield "# Change every line that is not yours yet. `check` says what is wrong, `preview` shows"
    yield "# the screens while you write, and procedures/README.md explains every word."
    yield f"procedure: {wanted.name} # the name of this file"
    yield f"title: {written_text(wanted.title)}"
    yield "revision: 1 # one more with every change that a technician would notice"
    if wanted.author:
        yield f"author: {written_text(wanted.author)}"
    yield "# fits: is asked before the first step; who answers no does not begin."
    yield f"fits: {written_text(wanted.fits)}"
    yield ""
    yield from _hazards(wanted.hazard)
    yield ""
    names = _names(wanted.phases, ())
    tools = _names(wanted.tools, ())
    yield from _tools(wanted.tools, tools, names)
    yield ""
    yield "# As tools:, with `part:` in place of `tool:`; what the work order lists."
    yield "parts: none"
    yield ""
    yield "phases: # in the order of the work; a step takes one of ten verbs"
    for number, (title, name) in enumerate(zip(wanted.phases, names, strict=True)):
        if number:
            yield ""
        yield f"  - phase: {name}"
        yield f"    title: {written_text(title)}"
        yield "    target: 10 min # how long it should take"
        yield "    steps:"
        if number == 0:
            yield from _staging(bool(tools))
        if number < len(names) - 1:
            used = tools if number == 1 else ()
            yield from _placeholder(_step(name, "first-act", names), title, used)
    yield from _end(wanted.proof, names, tools if len(names) < 3 else ())


def _hazards(hazard: tuple[str, str, str] | None) -> Iterator[str]:
    yield "# Of the whole job, accepted before the first step: danger, warning, caution or notice."
    if hazard is None:
        yield "hazards: none"
        return
    what, does, avoid = hazard
    yield "hazards:"
    yield f"  - warning: {written_text(what)}"
    yield f"    consequence: {written_text(does)}"
    yield f"    avoid: {written_text(avoid)}"


def _tools(titles: Sequence[str], names: Sequence[str], phases: Sequence[str]) -> Iterator[str]:
    yield "# by: is the phase before which it must lie on the bench; that makes a gate by itself."
    if not names:
        yield "tools: none"
        return
    yield "tools:"
    for title, name in zip(titles, names, strict=True):
        by = f"    by: {phases[1]}" if len(phases) > 1 else ""
        yield f"  - tool: {name}"
        yield f"    name: {written_text(title)}"
        if by:
            yield by


def _staging(tools: bool) -> Iterator[str]:
    if tools:
        yield "      - do: Put every tool on the bench."
        yield "        id: tools-staged"
        yield "        each: tools"


def _placeholder(name: str, title: str, tools: Sequence[str]) -> Iterator[str]:
    yield f"      # What is done in {_bare(title)}: one act a step, in a sentence that commands."
    yield "      - do: Write the first act here."
    yield f"        id: {name}"
    yield from _used(tools)
    yield "        # why: One sentence for whoever asks why."
    yield "        # cautions: [{ caution: What can hurt., consequence: What then., avoid: How. }]"


def _used(tools: Sequence[str]) -> Iterator[str]:
    if tools:
        yield f"        tools: [{', '.join(tools)}] # those that it is done with"


def _end(proof: str, phases: Sequence[str], tools: Sequence[str]) -> Iterator[str]:
    proved, last = _step("work", "proved", phases), _step("keys", "back", phases)
    yield "      # A check is a sentence that is true when it passes."
    yield f"      - check: {written_text(proof)}"
    yield f"        id: {proved}"
    yield "        why: What is found here is put right here."
    yield from _used(tools)
    yield "      - do: Hand the keys back."
    yield f"        id: {last}"
    yield ""
    yield "gates: # each keeps a phase or a step shut until its conditions are met"
    yield "  - gate: proved"
    yield f"    holds: {last}"
    yield "    until:"
    yield f"      - passed: {proved}"
    yield "      - no-open-fault: work"
    yield "    because: What is not proved here comes back."
    yield "    override: supervisor # technician, supervisor or nobody"


def _step(about: str, what: str, phases: Sequence[str]) -> str:
    """Return a name for a step, which no phase has."""
    return name_of(f"{about[: LONGEST_ID - 20]}-{what}", phases)


def _names(titles: Iterable[str], taken: Iterable[str]) -> tuple[str, ...]:
    found: list[str] = []
    for title in titles:
        found.append(name_of(title, (*taken, *found)))
    return tuple(found)


def _bare(title: str) -> str:
    """Return `title` as it may stand in a remark."""
    return "“" + " ".join(title.split()) + "”"


def written_text(text: str) -> str:
    """Return `text` as it stands behind a colon, with quotation marks where it needs them."""
    return yaml.safe_dump(text, allow_unicode=True, width=10_000).removesuffix("...\n").strip()
