"""The command `sum`: the list, what a sum takes, its result, and the exit code of each."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from sum_examples import CAPS, example_of
from test_process import loaded, typed

from baycompanion.exits import Exit
from baycompanion.trade.catalogue import SUMS, work
from baycompanion.trade.kind import SumKind

Run = Callable[..., Result]
EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)
LEADS = ("awg=18,18,20",)
LIMITS = ("cap_min_cmil=1500", "cap_max_cmil=6500")


def words_of(given: dict[str, str]) -> list[str]:
    return [f"{name}={value}" for name, value in given.items()]


def put_caps(shop: Path, text: str = f"caps: [{CAPS}]\n") -> None:
    (shop / "shop.yaml").write_text(text, encoding="utf-8")


def test_without_a_name_every_sum_is_listed_on_a_line_of_its_own(run: Run) -> None:
    result = run("sum")
    assert result.exit_code == Exit.DONE
    lines = result.stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(SUMS)
    assert all(line.endswith(SUMS[line.split()[0]].title) for line in lines)
    assert [each["sum"] for each in json.loads(run("sum", "--json").stdout)] == list(SUMS)


@EVERY_SUM
def test_with_its_name_alone_a_sum_says_what_it_takes_and_its_source(
    run: Run, kind: SumKind
) -> None:
    result = run("sum", kind.name)
    assert result.exit_code == Exit.DONE
    assert kind.explained in result.stdout
    assert "Source: " in result.stdout
    for each in kind.inputs:
        assert f"  {each.name} (" in result.stdout
        assert each.description in result.stdout
        assert each.takes[1:] in result.stdout
        assert each.default is None or f"{each.name} ({each.default} if left out)" in result.stdout
    for way in kind.one_of:
        assert " and ".join(way) in result.stdout.split("Type ")[-1]


@EVERY_SUM
def test_what_a_sum_takes_is_there_for_programs_too(run: Run, kind: SumKind) -> None:
    told = json.loads(run("sum", kind.name, "--json").stdout)
    assert [each["name"] for each in told["inputs"]] == [each.name for each in kind.inputs]
    assert [each["required"] for each in told["inputs"]] == [each.required for each in kind.inputs]
    assert [each["name"] for each in told["results"]] == [each.name for each in kind.results]
    assert told["one_of"] == [list(way) for way in kind.one_of]


@EVERY_SUM
def test_every_sum_is_worked_from_its_own_example(run: Run, kind: SumKind) -> None:
    given = example_of(kind)
    worked = work(kind.name, given)
    result = run("sum", kind.name, *words_of(given))
    assert result.exit_code == (Exit.DONE if worked.verdict == "good" else Exit.REFUSED)
    lines = result.stdout.splitlines()
    assert lines[0] == f"✓ GOOD: {worked.because}"
    assert lines[-1] == f"How: {worked.shown}"
    for each in kind.results:
        [line] = [line for line in lines if line.startswith(f"  {each.name}: ")]
        found = worked.results.get(each.name, "").replace(",", ", ")
        assert line == f"  {each.name}: {f'{found} {each.unit}'.strip() if found else 'none'}"


@EVERY_SUM
def test_json_holds_the_values_as_they_were_worked(run: Run, kind: SumKind) -> None:
    given = example_of(kind)
    worked = work(kind.name, given)
    told = json.loads(run("sum", kind.name, *words_of(given), "--json").stdout)
    assert told == {
        "sum": kind.name,
        "inputs": worked.used,
        "results": worked.values,
        "verdict": worked.verdict,
        "because": worked.because,
        "shown": worked.shown,
    }


def test_inputs_are_plain_numbers_for_programs_and_a_vin_stays_what_it_is(run: Run) -> None:
    def inputs(*words: str) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(run("sum", *words, "--json").stdout)["inputs"]
        return told

    assert inputs("splice", *LEADS, *LIMITS)["awg"] == [18, 18, 20]
    assert inputs("wire-drop", "current_a=7.5", "length_m=3", "awg=4/0") == {
        "current_a": 7.5,
        "length_m": 3,
        "supply_v": 12,
        "limit_pct": 3,
        "temperature_c": 20,
        "awg": "4/0",
    }
    assert inputs("vin", "vin=11111111111111111") == {"vin": "11111111111111111"}


def test_a_bad_verdict_is_code_1_with_its_sign_and_word(run: Run) -> None:
    result = run("sum", "key-off", "draw_ma=85", "battery_ah=60")
    assert result.exit_code == Exit.REFUSED
    assert result.stdout.startswith("! BAD: 85 mA is over the limit of 50 mA")
    result = run("sum", "key-off", "draw_ma=85", "battery_ah=60", "--json")
    assert (result.exit_code, json.loads(result.stdout)["verdict"]) == (Exit.REFUSED, "bad")


def test_a_vin_that_does_not_fit_is_bad_in_sign_and_code_only_where_it_must_fit(run: Run) -> None:
    # Source: the sample of 49 CFR 565.6, with another check digit; then from another region.
    must = run("sum", "vin", "vin=1G4AH59H55G118341")
    assert must.exit_code == Exit.REFUSED
    assert must.stdout.startswith("! BAD: The ninth sign is 5 and 4 was expected, and in North")
    need_not = run("sum", "vin", "vin=SG4AH59H55G118341")
    assert need_not.exit_code == Exit.DONE
    assert need_not.stdout.startswith("✓ GOOD: The ninth sign is 5 and 1 was expected; outside")


def test_a_value_may_carry_another_unit_and_a_space(run: Run) -> None:
    words = ("spacer_mm=5", "diameter_mm=5", "into=steel", "--json")
    told = json.loads(run("sum", "screw-length", "original_mm=3/4 in", *words).stdout)
    assert told["inputs"]["original_mm"] == 19.05  # the inch is 25.4 mm by definition


MISTAKES = [
    # what is typed, and the whole of what is said
    (["key-of"], "There is no sum “key-of”. Did you mean key-off?"),
    (["KEY-OFF", "draw_ma"], "“draw_ma” names no input. Type it like draw_ma=…, and a value with"),
    (["key-off", "draw_mA=35"], "“draw_mA” is no input of key-off. Did you mean draw_ma?"),
    (["key-off", "x=1"], "“x” is no input of key-off. Write one of: draw_ma, battery_ah,"),
    (["key-off", "draw_ma=1", "draw_ma=2"], "draw_ma stands twice: leave one out."),
    (["key-off", "draw_ma=35"], "key-off needs battery_ah: type a number from 5 to 400 in Ah"),
    (["key-off", "draw_ma=0", "battery_ah=60"], "draw_ma cannot be “0”: type a number from 1 to"),
    (["key-off", "draw_ma=3 mm", "battery_ah=60"], "draw_ma cannot be “3 mm”: mm is a length"),
    (["splice", *LEADS], "cap_min_cmil with cap_max_cmil or caps is missing"),
    (["key-off", "=35"], "“” is no input of key-off."),
]


@pytest.mark.parametrize(("words", "said"), MISTAKES)
def test_a_mistake_is_told_in_one_sentence(run: Run, words: list[str], said: str) -> None:
    for more in ([], ["--json"]):
        result = run("sum", *words, *more)
        assert (result.exit_code, result.stdout) == (Exit.UNUSABLE, "")
        assert result.stderr.startswith(said), result.stderr
        assert result.stderr.count("\n") == 1
        assert result.stderr[-2:] in (".\n", "?\n")


def test_a_sum_far_from_every_name_is_told_with_all_of_them(run: Run) -> None:
    said = run("sum", "perpetual-motion").stderr
    assert all(name in said for name in SUMS)


@pytest.mark.parametrize(
    "text", ["[b]\x1b]0;t\x07 \u202edrow\x00", "\udc80", "x" * 10_000, "𝟙", "1e9", "-1", " = "]
)
def test_hostile_text_is_refused_in_one_clean_line(run: Run, text: str) -> None:
    for words in ([text], ["key-off", text], ["key-off", f"{text}=1"], ["vin", f"vin={text}"]):
        result = run("sum", *[word if not word.startswith("-") else f"x{word}" for word in words])
        assert (result.exit_code, result.stdout) == (Exit.UNUSABLE, "")
        [line] = result.stderr.splitlines()
        assert line.isprintable()
        assert len(line) < 400


class TestTheCapsOfTheShop:
    def test_they_stand_for_caps_that_were_left_out(self, run: Run, shop_folder: Path) -> None:
        put_caps(shop_folder)
        told = json.loads(run("sum", "splice", *LEADS, "--json").stdout)
        assert told["inputs"]["caps"] == CAPS.split(", ")
        assert told["results"]["cap"] == "grey"
        assert f"caps ({CAPS} if left out)" in run("sum", "splice").stdout

    def test_they_give_way_to_what_is_typed(self, run: Run, shop_folder: Path) -> None:
        put_caps(shop_folder)
        told = json.loads(run("sum", "splice", *LEADS, *LIMITS, "--json").stdout)
        assert "caps" not in told["inputs"]
        told = json.loads(run("sum", "splice", *LEADS, "caps=blue 2000-9000", "--json").stdout)
        assert told["results"]["cap"] == "blue"

    def test_a_bad_one_is_told_with_its_line_but_only_where_it_counts(
        self, run: Run, shop_folder: Path
    ) -> None:
        put_caps(shop_folder, "caps:\n  - blue\n")
        result = run("sum", "splice", *LEADS)
        assert result.exit_code == Exit.UNUSABLE
        assert result.stderr.startswith(f"{shop_folder / 'shop.yaml'}:2:5: “blue” is no cap.")
        assert run("sum", "splice", *LEADS, *LIMITS).exit_code == Exit.DONE
        assert run("sum", "key-off", "draw_ma=35", "battery_ah=60").exit_code == Exit.DONE

    def test_a_shop_that_is_not_there_is_not_made(self, run: Run, tmp_path: Path) -> None:
        folder = tmp_path / "none"
        assert run("sum", "splice", *LEADS, "--shop", str(folder)).exit_code == Exit.UNUSABLE
        assert not folder.exists()


def test_a_sum_loads_no_screens_and_the_units_only_for_another_unit() -> None:
    plain = loaded(typed("sum", "key-off", "draw_ma=35", "battery_ah=60"))
    assert not plain & {"textual", "rich", "pint"}
    assert "pint" in loaded(typed("sum", "key-off", "draw_ma=0.035 A", "battery_ah=60"))
