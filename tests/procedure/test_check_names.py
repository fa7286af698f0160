"""Names used twice and names that lead nowhere: each by one change to a procedure without any."""

from collections.abc import Callable, Iterator

import pytest

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.references import references
from baycompanion.procedure.load import load_procedure
from baycompanion.text.problem import Place
from baycompanion.text.to_model import place_of
from baycompanion.text.yaml_nodes import Node
from baycompanion.trade.catalogue import SUMS

Case = tuple[str, str, str, str]
"""What stood there, what stands there now, the line found, and words of the sentence."""

TWICE: list[Case] = [
    ("id: sheet-after", "id: ask-feed", "id: ask-feed", "used twice, first in whole.yaml:"),
    ("id: sheet-after", "id: before", "id: before", "“before” is used twice, first in whole.yaml:"),
    ("phase: after", "phase: before", "- phase: before", "“before” is used twice"),
    ("gate: nothing-left", "gate: kit-before-joins", "- gate: kit-before-joins", "is used twice"),
    ("tools:\n  - t", "tools:\n  - {tool: meter, name: M}\n  - t", "- tool: meter", "used twice"),
    ("count: 1\n", "count: 1\n  - {part: kit, name: K}\n", "- {part: kit", "“kit” is used twice"),
    ("choices:\n", "choices:\n  - {choice: camera, title: x}\n", "- choice: camera", "used twice"),
    ("[analog, digital]", "[analog, digital, analog]", "answers:", "“analog” is used twice"),
    ("item: camera-picture", "item: lamps", "- item: lamps", "“lamps” is used twice"),
    (
        "standing:\n",
        "standing:\n  - {standing: battery-off, says: x, begins: stations, ends: volts, ask: y}\n",
        "- standing: battery-off",
        "“battery-off” is used twice",
    ),
    ("gate: nothing-left", "gate: on-bench-for-me", "- gate:", "belong to the gates made for"),
]

NOWHERE: list[Case] = [
    ("holds: battery-on", "holds: baterry-on", "holds: baterry-on", "Did you mean battery-on?"),
    ("[camera-lead, joins", "[camera-leed, joins", "holds:", "Did you mean camera-lead?"),
    ("passed: kit-fits", "passed: kit-fit", "- passed:", "“kit-fit” is the name of no step here"),
    ("inside: volts", "inside: vlts", "- inside: vlts", "Did you mean volts?"),
    ("good: charge", "good: chrge", "- good: chrge", "Did you mean charge?"),
    ("over: reserve", "over: reserv", "- over: reserv", "Did you mean reserve?"),
    ("recorded: battery-date", "recorded: date", "- recorded: date", "“date” is the name of no"),
    ("on-bench: work", "on-bench: wrk", "- on-bench: wrk", "no phase here. Did you mean work?"),
    ("matching: screws-back", "matching: screw-back", "- matching:", "Did you mean screws-back?"),
    ("witnessed: joins-seen", "witnessed: seen", "- witnessed: seen", "“seen” is the name of no"),
    ("done: side-screws", "done: side-screw", "- done: side-screw", "Did you mean side-screws?"),
    ("tools: [driver]", "tools: [driver, drver]", "tools: [driver", "Did you mean driver?"),
    ("back-to: side-screws", "back-to: sidescrews", "back-to:", "Did you mean side-screws?"),
    ("since: battery-off-now", "since: battery-off-no", "since:", "mean battery-off-now?"),
    ("matches: screws-out", "matches: screws-ot", "matches:", "Did you mean screws-out?"),
    ("repeats: stations", "repeats: station", "repeats: station", "Did you mean stations?"),
    ("compares: sheet-before", "compares: sheet", "compares: sheet", "is the name of no step"),
    ("of: battery-off-now", "of: batery-off-now", "of: batery", "Did you mean battery-off-now?"),
    ("answer: volts", "answer: vols", "volts: {answer: vols}", "Did you mean volts?"),
    ("begins: battery-off-now", "begins: battery-of", "begins:", "is the name of no step here"),
    ("ends: battery-on", "ends: battery-onn", "ends: battery-onn", "Did you mean battery-on?"),
    ("yes}\n        unless", "yes, camra: no}\n        unless", "when:", "Did you mean camera?"),
    ("{camera-feed: digital}", "{camera-feed: digitl}", "unless:", "no answer to “camera-feed”."),
    ("Hand driver\n", "Hand driver\n    by: wrk\n", "by: wrk", "no phase here. Did you mean work?"),
    ("by: work\n    count", "by: wrk\n    count", "by: wrk", "no phase here. Did you mean work?"),
]


@pytest.mark.parametrize(("old", "new", "line", "words"), TWICE + NOWHERE)
def test_a_name_used_twice_or_leading_nowhere_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


def test_what_an_included_file_lacks_is_not_told_to_be_mended_in_it(whole: str) -> None:
    """It is the shop's own procedure that leaves out the file which goes with it."""
    shared = """shared: charged
gates:
  - gate: charged
    holds: sheet-afte
    until:
      - good: charge
    because: A weak battery fails every test.
    override: nobody
"""
    text = whole.replace("phases:\n", "phases:\n  - include: charged.yaml\n")
    loaded = load_procedure(text, "whole.yaml", lambda path: (path, shared))
    assert [str(problem) for problem in check(loaded, SUMS)] == [
        "charged.yaml:4:12: “sheet-afte” is the name of no step or phase here. "
        "Include the shared file that has it, too, or write it in whole.yaml."
    ]


def test_nothing_is_found_in_a_procedure_that_is_right(
    whole: str, checked: Callable[[str], list[tuple[str, str]]]
) -> None:
    assert checked(whole) == []


def test_every_mention_of_a_known_name_is_where_it_is_given_or_a_reference(whole: str) -> None:
    loaded = load_procedure(whole, "whole.yaml")
    procedure = loaded.procedure
    names = {*procedure.steps, *procedure.phase_named, *(tool.tool for tool in procedure.tools)}
    names |= {choice.choice for choice in procedure.choices}
    mentions = {
        place
        for key, name, place in _scalars(loaded.node)
        if name in names and key != "no-open-fault"
    }
    given = {
        place
        for key, name, place in _scalars(loaded.node)
        if key in ("id", "phase", "tool", "choice") and name in names
    }
    referring = [each for each in references(procedure) if not each.is_key]
    assert mentions - given == {place_of(loaded.node, each.path) for each in referring}


def _scalars(node: Node, key: str = "") -> Iterator[tuple[str, str, Place]]:
    """Yield every text in the file with the key it stands under and its place."""
    if isinstance(node.value, str):
        yield key, node.value, node.place
    elif isinstance(node.value, list):
        for each in node.value:
            yield from _scalars(each, key)
    else:
        for name, each in node.value.items():
            yield from _scalars(each, name)
