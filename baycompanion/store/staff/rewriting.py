"""The text of a staff file written anew where it changes; its remarks and its order stay."""

import io
import re
from collections import Counter
from collections.abc import Mapping
from difflib import SequenceMatcher
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import CommentMark, YAMLError
from ruamel.yaml.tokens import CommentToken

from baycompanion.store.staff.staff import Member, staff_in
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile, quoted


def rewritten(text: str, after: Mapping[str, Member], file: str) -> str:
    """Return the staff file `text`, called `file`, so that it says `after` and keeps its remarks.

    `after` holds who stands in `text`, in that order, and after them those who are new.

    Raises:
        StoreTrouble: That cannot be done without losing something; nothing was changed.
    """
    ends = "\r\n" if "\r\n" in text else "\n"
    before = list(staff_in(text, file).values())
    new = _spelt(text.replace("\r\n", "\n"), before, list(after.values()))
    lost = Counter(_remarks(text)) - Counter(_remarks(new or ""))
    if new is None or not _says(new, after, file) or lost:
        which = f", and would lose the remark {quoted(next(iter(lost)))}" if lost and new else ""
        raise StoreTrouble(
            f"{file} is written in a way that this command cannot change{which}. "
            "Change the file in an editor."
        )
    return new.replace("\n", ends)


_REMARK = re.compile(r"(?:^|(?<=\s))#.*", flags=re.MULTILINE)
_FIRST_DASH = re.compile(r"^( *)- ", flags=re.MULTILINE)


def _remarks(text: str) -> list[str]:
    return [remark.strip() for remark in _REMARK.findall(text)]


def _says(text: str, wanted: Mapping[str, Member], file: str) -> bool:
    try:
        return staff_in(text, file) == wanted
    except BadFile:
        return False


def _spelt(text: str, before: list[Member], after: list[Member]) -> str | None:
    """Return `text` with what differs between `before` and `after` written anew, if that works."""
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 100_000
    dash = _FIRST_DASH.search(text)
    indent = len(dash[1]) if dash else 2
    yaml.indent(mapping=2, sequence=indent + 2, offset=indent)
    try:
        root = yaml.load(text)
        as_it_was = _dumped(yaml, root)
        for entry, old, new in zip(root["staff"], before, after, strict=False):
            if old != new:
                _respell(entry, _written(old), _written(new))
        root["staff"].extend(CommentedMap(_written(new)) for new in after[len(before) :])
        return _with_changes(text, as_it_was, _dumped(yaml, root))
    except (YAMLError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _dumped(yaml: YAML, root: Any) -> str:
    out = io.StringIO()
    yaml.dump(root, out)
    return out.getvalue()


def _with_changes(text: str, before: str, after: str) -> str:
    """Return `text` with the lines changed that differ between `before` and `after`.

    `before` is `text` as the library spaces it, line for line: so what does not change stays to
    the letter. Where the lines do not answer to each other, `after` it is.
    """
    own, old, new = (each.removesuffix("\n").split("\n") for each in (text, before, after))
    if len(own) != len(old):
        return after
    lines: list[str] = []
    for kind, start, end, first, last in SequenceMatcher(None, old, new, False).get_opcodes():
        lines += own[start:end] if kind == "equal" else new[first:last]
    return "\n".join(lines) + "\n"


def _written(member: Member) -> dict[str, Any]:
    """Return the keys and values that stand in a file for `member`."""
    plain: dict[str, Any] = member.model_dump(by_alias=True, exclude_defaults=True, mode="json")
    if "releases" in plain:  # a day as a day: as text it would stand in quotation marks
        days = [each.until for each in member.releases]
        whole = zip(plain["releases"], days, strict=True)
        plain["releases"] = [_in_one_line(each | {"until": day}) for each, day in whole]
    return {key: "no" if value is False else value for key, value in plain.items()}


def _in_one_line(entry: dict[str, Any]) -> CommentedMap:
    line = CommentedMap(entry)
    line.fa.set_flow_style()
    return line


def _respell(entry: CommentedMap, old: dict[str, Any], new: dict[str, Any]) -> None:
    """Change in `entry` what differs; the remarks that follow the entry stay behind it."""
    below = _take_below(entry)
    for key in old.keys() - new.keys():
        del entry[key]
    for key, value in new.items():
        there = entry.get(key)
        if isinstance(value, list) and isinstance(there, CommentedSeq):
            _relist(there, value)
        elif old.get(key) != value:
            entry[key] = value
    _put_below(entry, below)


def _relist(there: CommentedSeq, wanted: list[Any]) -> None:
    """Take out of the list what is not `wanted`, and put at its end what is missing."""
    says = [_plain(each) for each in wanted]
    for number in reversed(range(len(there))):
        if _plain(there[number]) not in says:
            del there[number]
    known = [_plain(each) for each in there]
    there.extend(each for each in wanted if _plain(each) not in known)


def _plain(value: Any) -> Any:
    """Return what an entry of a list says, however it is written."""
    return {k: str(v) for k, v in value.items()} if isinstance(value, dict) else str(value)


def _last_line(entry: CommentedMap) -> tuple[dict[Any, Any], Any, int]:
    """Return where the library keeps what follows the last line of `entry`."""
    key = list(entry)[-1]
    value = entry[key]
    if isinstance(value, CommentedSeq) and value and not value.fa.flow_style():
        last = value[-1]
        if isinstance(last, CommentedMap) and not last.fa.flow_style():
            return _last_line(last)
        return value.ca.items, len(value) - 1, 0
    return entry.ca.items, key, 2


def _take_below(entry: CommentedMap) -> str:
    """Take the lines of remarks away that follow `entry`, and return them."""
    items, key, at = _last_line(entry)
    token = items[key][at] if key in items else None
    if token is None:
        return ""
    beside, _, below = token.value.partition("\n")
    if beside:
        token.value = f"{beside}\n"
    else:
        items[key][at] = None
    return str(below)


def _put_below(entry: CommentedMap, below: str) -> None:
    """Put lines of remarks behind `entry`."""
    if not below:
        return
    items, key, at = _last_line(entry)
    slots = items.setdefault(key, [None] * 4)
    if slots[at] is None:
        slots[at] = CommentToken("\n", CommentMark(0), None)
    slots[at].value += below
