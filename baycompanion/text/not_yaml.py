"""What is wrong where a text is no YAML, and what to write: the parser says it for its makers."""

from dataclasses import dataclass

import yaml

from baycompanion.text.clean import clean

_TAB = ("a tab stands in front of the text", "Write blanks in its place")
_INDENTED = (
    "this line begins further left or right than those that it belongs to",
    "Begin it where they begin",
)
_AFTER_QUOTE = ("text follows a quote that is closed", "Put the whole text in quotes of one kind")
_WORDS = {
    "found a tab character that violates indentation": _TAB,
    "found a tab character where an indentation space is expected": _TAB,
    "mapping values are not allowed in this context": (
        "the colon here ends no key",
        "Put a text with a colon in quotes, or begin the key where the others begin",
    ),
    "found unexpected end of stream": (
        "the quote that begins here is never closed",
        "Close it where the text ends",
    ),
    "did not find expected '-' indicator": _INDENTED,
    "could not find expected ':'": (
        "this is no key, for it has no colon",
        "Write a colon and a blank after the key",
    ),
    "found unknown escape character": (
        "a backslash means something else in double quotes",
        "Write the text in single quotes",
    ),
}
"""What is wrong, and what to write, by what libyaml says."""
_NO_COMMA = ("did not find expected ','", "expected ','")
"""How libyaml begins it, and how the parser that Python has by itself does."""
_CLOSING = {"{": "}", "[": "]"}


@dataclass(frozen=True, slots=True)
class NotYaml:
    """What keeps a text from being YAML."""

    line: int
    """Where to look, from 1 on."""
    column: int
    what: str
    instead: str


def not_yaml(error: yaml.MarkedYAMLError, text: str) -> NotYaml:
    """Return where `text` is no YAML, why, and what to write, by the `error` of the parser."""
    mark, begun = error.problem_mark or error.context_mark, error.context_mark
    problem = error.problem or ""
    if mark and begun and (_ends(text, mark) or _left_open(problem, mark, begun)):
        mark = begun
    if mark is None:
        return NotYaml(1, 1, _own_words(error), "Mend the line")
    before = text[mark.index - mark.column : mark.index]
    said = _said(problem, before, text[mark.index : mark.index + 1])
    return NotYaml(mark.line + 1, mark.column + 1, *said or (_own_words(error), "Mend the line"))


def _said(problem: str, before: str, at: str) -> tuple[str, str] | None:
    """Return the words for `problem`, found at the sign `at` with `before` in front on its line."""
    if problem.startswith(_NO_COMMA):
        if at in _CLOSING:
            return f"the {at} here is never closed", f"Write {_CLOSING[at]} where it ends"
        return "a comma or a bracket is missing before this", "Write it"
    if problem == "found character that cannot start any token":
        return (
            _TAB if at == "\t" else (f"no text begins with {clean(at)}", "Put the text in quotes")
        )
    if problem == "did not find expected key":
        return _AFTER_QUOTE if before.strip() else _INDENTED
    return _WORDS.get(problem)


def _ends(text: str, mark: yaml.Mark) -> bool:
    """Return whether nothing follows `mark`, so that what was left open is told where it begins."""
    return not text[mark.index :].strip()


def _left_open(problem: str, mark: yaml.Mark, begun: yaml.Mark) -> bool:
    """Return whether a bracket or a key of an earlier line was left open."""
    open_yet = problem.startswith((*_NO_COMMA, "could not find expected ':'"))
    return open_yet and mark.line != begun.line


def _own_words(error: yaml.MarkedYAMLError) -> str:
    """Return the parser's own words on one cleaned line."""
    return clean(" ".join(part for part in (error.context, error.problem) if part))
