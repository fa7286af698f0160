"""What is wrong where a text is no YAML, and what to write: the parser says it for its makers."""

import re
from dataclasses import dataclass

import yaml

from baycompanion.text.clean import clean

_TAB = ("a tab stands in front of the text", "Write blanks in its place")
_INDENTED = (
    "this line begins further left or right than those that it belongs to",
    "Begin it where they begin",
)
_AFTER_QUOTE = ("text follows a quote that is closed", "Put the whole text in quotes of one kind")
_AFTER_BRACKET = ("text follows a bracket that is closed", "Put the whole text in quotes")
_AFTER = {"'": _AFTER_QUOTE, '"': _AFTER_QUOTE, "]": _AFTER_BRACKET, "}": _AFTER_BRACKET}
_NO_DASH = ("a dash that begins an item is a hyphen with a blank after it", "Write it so")
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
_MISPLACED = ("did not find expected '-' indicator", "did not find expected key")
"""How libyaml says that a line begins nothing that belongs where it begins."""
_NO_COMMA = ("did not find expected ','", "expected ','")
"""How libyaml begins it, and how the parser that Python has by itself does."""
_CLOSING = {"{": "}", "[": "]"}
_NOT_IN_FRONT = (
    "mapping keys are not allowed in this context",
    "block sequence entries are not allowed in this context",
    "found character that cannot start any token",
)
"""How libyaml says that a sign begins something else than a text."""
_ENDS_AFTER = (
    "while scanning an alias",
    "while scanning an anchor",
    "while scanning a block scalar",
)
"""What such a sign has begun, where libyaml finds only after it that it is none."""
_DASH = re.compile("-[^ ]|[‐-―]")
"""Begins an item for whoever typed it, and not for YAML."""


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
    if begun and problem not in _WORDS and error.context in _ENDS_AFTER:
        mark, problem = begun, _NOT_IN_FRONT[0]
    if mark is None:
        return NotYaml(1, 1, _own_words(error), "Mend the line")
    before = text[mark.index - mark.column : mark.index]
    said = _said(problem, before, text[mark.index : mark.index + 2])
    opened = _opened(text, mark) if said == _AFTER_QUOTE else None
    if opened and opened.line != mark.line:
        what = f"the quote that begins here is closed in line {mark.line + 1}, and text follows it"
        return NotYaml(opened.line + 1, opened.column + 1, what, "Close it where the text ends")
    return NotYaml(mark.line + 1, mark.column + 1, *said or (_own_words(error), "Mend the line"))


def _said(problem: str, before: str, at: str) -> tuple[str, str] | None:
    """Return the words for `problem`, found at two signs, `at`, behind `before` on its line."""
    sign = at[:1]
    if problem.startswith(_NO_COMMA):
        if sign in _CLOSING:
            return f"the {sign} here is never closed", f"Write {_CLOSING[sign]} where it ends"
        return "a comma or a bracket is missing before this", "Write it"
    if problem in _NOT_IN_FRONT:
        begins = f"no text begins with {clean(sign)}"
        return _TAB if sign == "\t" else (begins, "Put the text in quotes")
    if problem == "did not find expected key" and before.strip():
        return _AFTER.get(before.rstrip()[-1])
    if problem in _MISPLACED:
        return _NO_DASH if _DASH.match(at) else _INDENTED
    return _WORDS.get(problem)


def _opened(text: str, closed: yaml.Mark) -> yaml.Mark | None:
    """Return where the quote begins that ends before `closed`, None where that cannot be told."""
    begun: yaml.Mark | None = None
    try:
        for token in yaml.scan(text, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader)):
            if token.start_mark.index >= closed.index:
                break
            if isinstance(token, yaml.ScalarToken):
                begun = token.start_mark
    except yaml.YAMLError:
        return None  # it reads ahead, and finds something else wrong there
    return begun if begun and text[begun.index] in "'\"" else None


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
