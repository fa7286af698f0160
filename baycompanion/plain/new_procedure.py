"""The questions before a new procedure file, asked line by line."""

from baycompanion.plain.terminal import Lines
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.procedure.skeleton import USUAL_PROOF, Wanted

USUAL_PHASES = ("Take the vehicle in", "Do the work", "Hand the vehicle over")
"""What a job is made of where nobody says otherwise."""
MOST = 40
"""How many phases or tools can be named here; more are written in the file."""


def ask_for(name: str, lines: Lines) -> Wanted:
    """Return what is wanted of the procedure called `name`.

    Raises:
        EOFError: The lines came to their end before the last question.
    """
    lines.say(f"A new procedure, {name}. Enter alone takes what stands in brackets.")
    title = _ask(lines, "What is the work called?")
    fits = _ask(lines, "Which vehicle and work does it fit, as a question?", "Does it fit?")
    phases = _list(lines, "Phase", f"[{', '.join(USUAL_PHASES)}]") or USUAL_PHASES
    tools = _list(lines, "Tool", "[no tools]")
    proof = _ask(lines, "What must be true before the keys go back?", USUAL_PROOF)
    hazard = _hazard(lines)
    author = _ask(lines, "Staff id of whoever writes it?", "", "leave it out")
    return Wanted(name, title, fits, phases, tools, proof, hazard, author)


def ask_title(name: str, copied: str, lines: Lines) -> str:
    """Return the title of the procedure called `name`, which is copied from one called `copied`.

    Raises:
        EOFError: The lines came to their end before it.
    """
    lines.say(f"A new procedure, {name}, copied from “{copied}”.")
    return _ask(lines, "What is the work called?")


def _hazard(lines: Lines) -> tuple[str, str, str] | None:
    what = _ask(lines, "What can do harm in this work?", "", "nothing")
    if not what:
        return None
    does = _ask(lines, "What does it do to whom?")
    return what, does, _ask(lines, "How is it avoided?")


def _ask(lines: Lines, question: str, usual: str | None = None, shown: str = "") -> str:
    """Return the answer to `question`; Enter alone is `usual`, where there is one."""
    offered = f" [{shown or usual}]" if usual is not None else ""
    return _until_good(lines, f"{question}{offered}", usual)


def _list(lines: Lines, word: str, first: str) -> tuple[str, ...]:
    """Return one name a line, until Enter alone."""
    found: list[str] = []
    while len(found) < MOST:
        offered = "[no more]" if found else first
        said = _until_good(lines, f"{word} {len(found) + 1}? {offered}", "")
        if not said:
            break
        found.append(said)
    return tuple(found)


def _until_good(lines: Lines, prompt: str, usual: str | None) -> str:
    while True:
        said = lines.ask(prompt)
        if len(said) > LONGEST_LINE:
            lines.say(f"That is longer than {LONGEST_LINE} characters. Say it shorter.")
        elif said:
            return said
        elif usual is not None:
            return usual
        else:
            lines.say("Nothing is written there. Type a few words.")
