"""The card: the one thing to do now, with what stands before it and the keys that answer it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar

from baycompanion.job.actions import Action
from baycompanion.procedure.panels import Panel

T = TypeVar("T")

Tone = Literal[
    "danger",
    "warning",
    "caution",
    "notice",
    "plain",
    "label",
    "quiet",
    "good",
    "bad",
    "why",
]


MOST_KEYS = 6
"""Keys that a card can show; what has more answers is a list."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One paragraph of a card; the tone adds emphasis, the words carry the meaning."""

    tone: Tone
    words: str
    key: str = ""
    """The key of the screens that the words name; line by line, a word of the program stands there
    in its place."""


@dataclass(frozen=True, slots=True)
class Deed:
    """An action, and the staff id of whoever does it where that is not the technician."""

    action: Action
    by: str | None = None
    picture: str = ""
    """The path of a picture that belongs to it, or the word for the newest one taken."""


NEWEST_PICTURE = "newest"
"""Stands for the newest picture of the shop's watched folder."""


@dataclass(frozen=True, slots=True)
class Field:
    """One question of a form."""

    name: str
    label: str
    choices: tuple[str, ...] = ()
    """The answers to choose from; without them, words are typed."""
    hint: str = ""
    value: str = ""
    """What stands in it at the start."""
    may_be_empty: bool = False
    secret: bool = False
    """Whether what is typed is shown nowhere."""


@dataclass(frozen=True, slots=True)
class Form(Generic[T]):
    """A few questions, and what their answers make: mostly a deed."""

    title: str
    fields: tuple[Field, ...]
    make: Callable[[Mapping[str, str]], T]
    """Takes the answers by field name. Raises ValueError with one sentence for a bad one."""
    lead: tuple[Piece, ...] = ()
    """What is said before the questions."""
    accept: str = "Save"
    """What the last key does, as its label."""


@dataclass(frozen=True, slots=True)
class First:
    """What must be answered before something else can be done."""

    form: Form[Any]
    take: Callable[[Any], str | None]
    """Takes what the answers make; returns the one sentence that keeps the form open, or None."""


@dataclass(frozen=True, slots=True)
class Again:
    """Answer the step in hand once more."""


@dataclass(frozen=True, slots=True)
class GoTo:
    """Look at another step."""

    step: str


@dataclass(frozen=True, slots=True)
class Return:
    """Go back from a step that was looked at to the one thing to do now."""


@dataclass(frozen=True, slots=True)
class Aside:
    """Something that is done here and now, and is no event of the job."""

    do: Callable[[], None]


Does = Deed | Form[Deed] | First | Again | GoTo | Return | Aside


@dataclass(frozen=True, slots=True)
class Key:
    """One way to answer: the key, what it is called, and what it does."""

    key: str
    label: str
    does: Does
    enter: bool = False
    """Whether Enter does it too."""


def key_called(keys: Iterable[Key], typed: str) -> Key | None:
    """Return the key whose number or label is `typed`, None where no key is called that."""
    said = typed.casefold()
    return next(
        (
            key
            for key in keys
            if said in (key.key.casefold(), key.label.replace("…", "").casefold())
        ),
        None,
    )


@dataclass(frozen=True, slots=True)
class Entry:
    """A value to type."""

    label: str
    make: Callable[[str], "Deed | Form[Deed]"]
    says: Callable[[str], Piece | None]
    """What can be said of a half-typed value at once."""
    hint: str = ""
    at_once: bool = False
    """Whether Enter takes it before the next key: a reader of codes types several in a burst."""


@dataclass(frozen=True, slots=True)
class ListEntry:
    """A list to type, entry by entry."""

    label: str
    make: Callable[[tuple[str, ...]], Deed]
    before: tuple[str, ...] = ()
    """The earlier list that this one is held against."""
    tidy: Callable[[str], str] = str
    """What an entry is kept as."""
    says: Callable[[str], Piece | None] = lambda entry: None
    """What can be said of one entry at once."""
    same: Callable[[str, str], bool] = lambda one, other: one.casefold() == other.casefold()
    """Whether an entry agrees with the one before."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line that is answered, or leads somewhere, by itself."""

    name: str
    sign: str
    word: str
    text: str
    group: str = ""
    keys: tuple[Key, ...] = ()
    entry: Entry | None = None
    answered: bool = False
    by_enter: bool = True
    """Whether Enter gives its first answer. What is found out by looking wants a key of its own: an
    Enter too many would say that it works."""
    panel: Panel | None = None
    """Its place in the drawing of the vehicle."""
    drawn: str = ""
    """Its sign there."""
    says_more: bool = False
    """Whether its word says more than was answered: how it was before, or that it is overdue."""


@dataclass(frozen=True, slots=True)
class Card:
    """What stands in the middle of the screen."""

    kind: str
    heading: str
    """Where this is, in a few words."""
    title: str
    """The one thing to do, or to know."""
    before: tuple[Piece, ...] = ()
    """What is read first: cautions."""
    pieces: tuple[Piece, ...] = ()
    keys: tuple[Key, ...] = ()
    entry: Entry | None = None
    list_entry: ListEntry | None = None
    rows: tuple[Row, ...] = ()
    step: str | None = None
    """The step that it is about."""

    @property
    def no_why(self) -> str:
        """What is said where the procedure was asked for a why and has none."""
        if self.step is None:
            return "This card is no step: it says itself why it is here."
        return "The procedure gives no why for this step."

    @property
    def topic(self) -> tuple[str | None, str, str]:
        """What stays the same while only the answers on a card change.

        Two gates may stand there for the same reason, so it is the name that tells them apart.
        """
        return self.step, self.kind, self.heading if self.kind == "gate" else self.title
