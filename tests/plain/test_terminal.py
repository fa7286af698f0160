"""Lines out and lines in: one line each, cleaned, and a clean end however it comes."""

import io

import pytest

from baycompanion.plain import terminal
from baycompanion.plain.terminal import AHEAD, HELD, MOST_OF_A_LINE, TOO_LONG, Terminal
from baycompanion.store.trouble import StoreTrouble


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


class Full(io.StringIO):
    """A stream that takes no more."""

    def write(self, text: str) -> int:
        raise OSError(28, "No space left on device")


class Gone(io.StringIO):
    """A stream whose other end went away."""

    def write(self, text: str) -> int:
        raise BrokenPipeError

    def readline(self, size: int = -1) -> str:  # type: ignore[override]
        raise OSError(5, "Input/output error")


def asked(given: io.StringIO) -> tuple[str, str]:
    """Ask one question, and return what was read and what was shown."""
    shown = io.StringIO()
    return Terminal(given, shown).ask("Why?"), shown.getvalue()


def test_a_pipe_gets_its_line_end_after_the_question() -> None:
    assert asked(io.StringIO("rust\n")) == ("rust", "Why? \n")


def test_a_terminal_has_echoed_it_already(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(terminal, "AT_ONCE", 0)
    assert asked(Screen("rust\n")) == ("rust", "Why? ")


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("  two  words \n", "two  words"),
        ("last line without an end", "last line without an end"),
        ("windows\r\n", "windows"),
        ("\x1b[2J\x07bell\x00\u202e\n", "\ufffd[2J\ufffdbell\ufffd\ufffd"),
        ("a\rb\u2028c\n", "a b c"),
        ("\udcff\n", "\ufffd"),
        ("\n", ""),
    ],
)
def test_what_is_typed_is_cleaned_at_the_door(typed: str, read: str) -> None:
    assert asked(io.StringIO(typed))[0] == read


def test_what_is_said_is_one_line_without_codes() -> None:
    shown = io.StringIO()
    Terminal(io.StringIO(), shown).say("a\nb\x1b[31m")
    assert shown.getvalue() == "a b\ufffd[31m\n"


@pytest.mark.parametrize("given", [io.StringIO(""), Gone(), Screen("")])
def test_the_end_of_input_is_an_end(given: io.StringIO) -> None:
    with pytest.raises(EOFError):
        asked(given)


def test_a_stream_that_was_closed_is_an_end() -> None:
    given = io.StringIO()
    given.close()
    with pytest.raises(EOFError):
        asked(given)


def test_a_reader_who_went_away_is_told_from_a_full_disk() -> None:
    with pytest.raises(BrokenPipeError):
        Terminal(io.StringIO(), Gone()).say("x")
    with pytest.raises(StoreTrouble, match="The output cannot be written: no space left"):
        Terminal(io.StringIO(), Full()).say("x")


class HeldDown(Screen):
    """A terminal on which Enter is held down for three lines, and pressed once more later."""

    clock = 0.0
    between = (0.03, 0.03, 0.03, 2.0)
    reads = 0

    def readline(self, size: int = -1) -> str:  # type: ignore[override]
        self.clock += self.between[self.reads]
        self.reads += 1
        return "\n"


def test_enter_held_down_answers_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    given = HeldDown()
    monkeypatch.setattr(terminal.time, "monotonic", lambda: given.clock)
    assert asked(given) == ("", f"Why? \n{HELD}\n" * 3 + "Why? ")


def test_a_pipe_is_never_too_soon() -> None:
    assert asked(io.StringIO("\n"))[0] == ""


def test_lines_that_are_there_before_the_question_answer_nothing() -> None:
    assert asked_all("1\n2\n3\n") == f"Why? \n{AHEAD}\n" * 3 + "Why? \n"


def test_a_line_of_which_the_terminal_dropped_the_end_is_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(terminal, "AT_ONCE", 0)
    cut, whole = "a" * (MOST_OF_A_LINE - 1), "a" * (MOST_OF_A_LINE - 2)
    given = Screen(f"{cut}\n{whole}\n")
    assert asked(given) == (whole, f"Why? \n{TOO_LONG}\nWhy? ")


def test_a_pipe_takes_a_line_of_any_length_and_as_many_as_come() -> None:
    given = io.StringIO("a" * 10_000 + "\nnext\n")
    assert asked(given) == ("a" * 10_000, "Why? \n")
    assert asked(given)[0] == "next"


def asked_all(typed: str) -> str:
    """Ask one question of a terminal until nothing more comes, and return what was shown."""
    shown = io.StringIO()
    with pytest.raises(EOFError):
        Terminal(Screen(typed), shown).ask("Why?")
    return shown.getvalue()
