"""The first field in which one JSON document differs from another."""

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that is not the same in both."""

    field: str
    """Its place, like `steps.3.state`; lists count from 1."""
    how: Literal["other", "extra", "missing", "empty"]
    """It says something else, is not in the second document, or is not in the first, where it is
    empty in the second for `empty`: what is not there says as much."""


def first_difference(told: Any, made: Any, field: str = "") -> Difference | None:
    """Return the first field of `told` that is not as in `made`, None where both say the same.

    A field that is only missing in `told` is named where nothing else differs: an older version
    of a program may not have known it; last of all one that is empty in `made`.
    """
    if isinstance(told, dict) and isinstance(made, dict):
        return _in_object(told, made, f"{field}." if field else "")
    if isinstance(told, list) and isinstance(made, list):
        return _in_list(told, made, f"{field}." if field else "")
    same = type(told) is type(made) and told == made
    return None if same else Difference(field, "other")


def _in_object(told: dict[str, Any], made: dict[str, Any], before: str) -> Difference | None:
    absent: Difference | None = None
    for name in {**made, **told}:
        found: Difference | None
        if name not in made:
            return Difference(f"{before}{name}", "extra")
        if name in told:
            found = first_difference(told[name], made[name], f"{before}{name}")
        else:
            found = Difference(f"{before}{name}", "missing" if made[name] else "empty")
        if found is not None and not _is_absent(found):
            return found
        absent = _graver(absent, found)
    return absent


def _in_list(told: list[Any], made: list[Any], before: str) -> Difference | None:
    absent: Difference | None = None
    for number, (one, other) in enumerate(zip(told, made, strict=False), start=1):
        found = first_difference(one, other, f"{before}{number}")
        if found is not None and not _is_absent(found):
            return found
        absent = _graver(absent, found)
    if len(told) != len(made):
        return Difference(f"{before}{min(len(told), len(made)) + 1}", "other")
    return absent


def _is_absent(found: Difference) -> bool:
    return found.how in ("missing", "empty")


def _graver(one: Difference | None, other: Difference | None) -> Difference | None:
    """Return the first of two absent fields, but one that says something before an empty one."""
    if one is None or (other is not None and (one.how, other.how) == ("empty", "missing")):
        return other
    return one
