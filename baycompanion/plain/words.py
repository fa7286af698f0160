"""The words of the program: what can be typed besides an answer, and what each does."""

from dataclasses import dataclass

from baycompanion.text.problem import quoted

MARK = "?"
"""Stands before a word of the program where a line typed is an answer."""

LONGEST_NUMBER = 6
"""Digits of the longest number that steps, lines and choices are counted by."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the program."""

    name: str
    does: str
    key: str = ""
    """The key that does it on the screens; it may be typed as well."""
    takes: str = ""
    """What may follow it, as the help names it."""


@dataclass(frozen=True, slots=True)
class Said:
    """A word of the program as it was typed, with what followed it."""

    name: str
    rest: str = ""


AT_A_JOB = (
    Word("again", "read this once more"),
    Word("where", "say where you are: job, phase, what must stay true, the gate ahead"),
    Word("steps", "read the whole sequence"),
    Word("look", "look at a step; nothing moves", takes="number"),
    Word("why", "say why, and all of what is read short; without a number, here", "f8", "number"),
    Word("lines", "read all lines of this list"),
    Word("line", "take another line of this list", takes="number"),
    Word("rest", "the lines that are left are all well, where the list allows it"),
    Word("undo", "take the last entry of a list back"),
    Word("cannot", "there is no answer of the usual kind: why", "f7"),
    Word("wait", "wait here until the time is over"),
    Word("late", "the next answer was done earlier: when"),
    Word("paper", "copy steps from the paper form, with the times it says"),
    Word("note", "write a note", "f2"),
    Word("photo", "add a photo", "f3"),
    Word("fault", "a fault was found", "f5"),
    Word("clear", "a fault was put right"),
    Word("reopen", "do a step again; without a number, the one finished last", "f6", "number"),
    Word("pause", "stop for a while", "f4"),
    Word("hand over", "pass the job to somebody else"),
    Word("sum", "work out a sum of the trade; without a name, read which", "f10", "name"),
    Word("photos", "hear which photos there are"),
    Word("timeline", "hear what the hours of a job that has ended went to"),
    Word("earlier", "hear the record of the earlier job, and what is worse since"),
    Word("record", "write the record as it stands"),
    Word("circuit", "a circuit of the vehicle is borrowed: tapped, spliced or grounded to"),
    Word("plan", "take a splice plan from connector files"),
    Word("revise", "go on by a newer revision of the procedure"),
    Word("give up", "end the job without finishing it"),
    Word("more", "read what else there is, with a number for each", "f9"),
    Word("board", "leave this job and go to the bay board"),
    Word("quit", "leave the program; nothing is lost"),
    Word("help", "say what can be typed", "f1"),
)

IN_PRACTICE = (
    Word("see", "look, measure, try or count at the made-up vehicle", "f12"),
    Word("take up", "begin a step now, in its place or out of it", takes="number"),
)

AT_READING = (
    Word("again", "read this once more, as it stands now"),
    Word("steps", "read the whole sequence"),
    Word("open", "try to open the job, to work on it"),
    Word("board", "go to the bay board"),
    Word("quit", "leave the program"),
    Word("help", "say what can be typed", "f1"),
)

AT_THE_BOARD = (
    Word("new", "start a job"),
    Word(
        "find", "hear which ended jobs it fits; a part is enough", "f", "plate, VIN or work order"
    ),
    Word(
        "came back",
        "start a job on the vehicle that comes back from that ended one; without, find it first",
        "c",
        "number",
    ),
    Word("sum", "work out a sum of the trade; without a name, read which", "f10", "name"),
    Word("review", "hear what an audit of this shop finds"),
    Word("learn", "be drilled: short questions about a procedure", "l"),
    Word("practise", "walk a procedure on a made-up vehicle"),
    Word("again", "read the board once more"),
    Word("quit", "leave the program; nothing is lost"),
    Word("help", "say what can be typed", "f1"),
)

AT_THE_REVIEW = (
    Word("list", "read gates and findings once more"),
    Word("open", "read only what nobody has looked at yet"),
    Word("gates", "read every gate, and the findings"),
    Word("look", "say what a finding was, with id and PIN of a supervisor", takes="number"),
    Word("decide", "decide about a gate, with id and PIN of a supervisor", takes="number"),
    Word(
        "history",
        "hear how a gate, or a job's procedure, fared, with decisions",
        takes="number",
    ),
    Word("person", "hear a person's history, for a supervisor; no score", takes="number"),
    Word("audit", "audit anew"),
    Word("quit", "leave the program; nothing is lost"),
    Word("help", "say what can be typed", "f1"),
)

AT_LEARNING = (
    Word("all", "be asked what is not due, too", takes="number"),
    Word("phase", "be asked about one phase alone", takes="number"),
    Word("practise", "walk through it on a made-up vehicle", takes="number"),
    Word("trainees", "for a supervisor: how every trainee stands"),
    Word("again", "read what there is once more"),
    Word("quit", "leave; every answer is kept already"),
    Word("help", "say what can be typed", "f1"),
)

AT_TRAINEES = (
    Word("release", "sign somebody off for what they were watched at", takes="number"),
    Word("take", "take a release back", takes="number"),
    Word("again", "read the list once more"),
    Word("quit", "leave"),
    Word("help", "say what can be typed", "f1"),
)

AT_A_DRILL = (
    Word("again", "read the question once more"),
    Word("hint", "hear some help first; right after it counts less than right at once"),
    Word("quit", "leave the drill; every answer is kept already"),
    Word("help", "say what can be typed", "f1"),
)

BACK = ("back", "esc", "escape")
"""Any of these leaves a form without doing anything."""


def find_word(typed: str, words: tuple[Word, ...]) -> Said | None:
    """Return the word of the program that `typed` is, with what follows it; None if it is none."""
    said = " ".join(typed.casefold().split())
    for word in words:
        if said in (word.name, word.key) and said:
            return Said(word.name)
        if word.takes and said.startswith(f"{word.name} "):
            return Said(word.name, said.removeprefix(word.name).strip())
    return None


def marked(typed: str) -> str | None:
    """Return what follows the mark in `typed`; None where `typed` is an answer.

    Two marks stand for one that is part of an answer.
    """
    if typed.startswith(MARK) and not typed.startswith(MARK * 2):
        return typed.removeprefix(MARK).strip()
    return None


def is_back(typed: str) -> bool:
    """Return whether `typed`, where no words are an answer, asks to go back; marked or not."""
    word = marked(typed)
    return (typed if word is None else word).casefold() in BACK


def unmarked(typed: str) -> str:
    """Return the answer in `typed`, which begins with no mark or with two."""
    return typed[1:] if typed.startswith(MARK * 2) else typed


def read_help(words: tuple[Word, ...]) -> list[str]:
    """Return what can be typed, one word a line."""
    return [f"{_spelt(word)}: {word.does}." for word in words]


def _spelt(word: Word) -> str:
    return f"{word.name} and a {word.takes}" if word.takes else word.name


def no_meaning(typed: str, is_none: str = "means nothing here") -> str:
    """Return what is said of a line that is nothing which can be typed: that it `is_none`."""
    said = f"{quoted(typed)} {is_none}" if typed else "Nothing was typed"
    return f"{said}. Type ? for what can be typed."


def read_number(typed: str) -> int | None:
    """Return the number of a step, a line or a choice; None where `typed` is none."""
    return int(typed) if typed.isdecimal() and len(typed) <= LONGEST_NUMBER else None
