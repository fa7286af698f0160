"""The preview line by line: every screen is read, and a file that is saved is read anew."""

from collections import deque
from pathlib import Path

import pytest
from bay import SMALL, SMALL_TEXT, START
from listener import Clock, Typist

from baycompanion.plain.preview import talk_preview
from baycompanion.views.procedure.preview import screens_of


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "small.yaml"
    path.write_text(SMALL_TEXT, encoding="utf-8")
    return path


def screens_read(typist: Typist) -> list[str]:
    return [line.split()[1] for line in typist.heard if line.startswith("Screen ")]


def test_enter_leads_through_every_screen(file: Path, clock: Clock) -> None:
    screens = screens_of(SMALL, START)
    typist = Typist(clock, deque([""] * (len(screens) + 1)))
    assert talk_preview(file, typist, clock)
    for each in screens:
        assert typist.told(each.card.title.split("  ")[-1])
    assert typist.told("That was the last screen.")


def test_a_number_b_and_q_do_what_the_prompt_says(file: Path, clock: Clock) -> None:
    typist = Typist(clock, deque(["3", "b", "q"]))
    assert talk_preview(file, typist, clock)
    assert screens_read(typist) == ["1", "3", "2"]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("b", "That was the first screen."),
        ("what", "“what” means nothing here. Type ? for what can be typed."),
        ("?", "Enter reads the next screen, b the one before, and a number the one of that"),
        ("?help", "Enter reads the next screen"),
    ],
)
def test_what_leads_to_no_screen_is_one_sentence_and_nothing_is_read_again(
    file: Path, clock: Clock, typed: str, told: str
) -> None:
    typist = Typist(clock, deque([typed, "", "q"]))
    assert talk_preview(file, typist, clock)
    asked = [n for n, line in enumerate(typist.heard) if line in typist.prompts]
    [sentence] = typist.heard[asked[0] + 1 : asked[1]]
    assert sentence.startswith(told)
    assert screens_read(typist) == ["1", "2"]


def test_the_last_screen_is_read_again_once_the_file_is_saved(file: Path, clock: Clock) -> None:
    count = len(screens_of(SMALL, START))

    class Saving(Typist):
        def ask(self, prompt: str) -> str:
            if len(self.prompts) == 2:
                file.write_text(SMALL_TEXT + "# saved\n", encoding="utf-8")
            return super().ask(prompt)

    typist = Saving(clock, deque([str(count), "", "", "q"]))
    assert talk_preview(file, typist, clock)
    assert screens_read(typist) == ["1", str(count), str(count)]


def test_errors_are_read_and_the_last_good_file_goes_on(file: Path, clock: Clock) -> None:
    class Saving(Typist):
        def ask(self, prompt: str) -> str:
            if len(self.prompts) == 1:
                file.write_text(SMALL_TEXT + "\nbroken: yes\n", encoding="utf-8")
            return super().ask(prompt)

    typist = Saving(clock, deque(["", ""]))
    assert not talk_preview(file, typist, clock)
    assert typist.told(f"{file}:")
    assert typist.told("as it was before these errors")
    assert typist.told("Screen 3 of ")


def test_a_file_that_is_broken_from_the_start_waits_to_be_saved(file: Path, clock: Clock) -> None:
    file.write_text("procedure: [", encoding="utf-8")
    typist = Typist(clock, deque(["", "5", "b"]))
    assert not talk_preview(file, typist, clock)
    assert typist.prompts[0].startswith("Save the file")


def test_the_lines_of_a_list_are_read_on_demand(file: Path, clock: Clock) -> None:
    screens = screens_of(SMALL, START)
    number = next(n for n, each in enumerate(screens, 1) if each.name == "step before")
    typist = Typist(clock, deque([str(number), "l", "q"]))
    assert talk_preview(file, typist, clock)
    rows = screens[number - 1].card.rows
    assert len(rows) > 1
    for place, item in enumerate(SMALL.items_of(SMALL.steps["before"])[: len(rows)], start=1):
        assert any(line.startswith(f"{place}. ") and item.name in line for line in typist.heard)


def test_a_vehicle_is_chosen_by_number_and_answer_and_kept_as_the_file_is_saved(
    file: Path, clock: Clock
) -> None:
    class Saving(Typist):
        def ask(self, prompt: str) -> str:
            if len(self.prompts) == 4:
                file.write_text(SMALL_TEXT + "# saved\n", encoding="utf-8")
            return super().ask(prompt)

    typist = Saving(clock, deque(["c", "2 none", "", "", "", "q"]))
    assert talk_preview(file, typist, clock)
    assert typist.told("1. Factory amplifier: open.")
    assert typist.told("2. Camera: none.")
    counts = [line.split()[3] for line in typist.heard if line.startswith("Screen ")]
    every, fewer = len(screens_of(SMALL, START)), len(screens_of(SMALL, START, {"camera": "none"}))
    assert fewer < every
    assert counts == [str(every), *[str(fewer)] * 3]
    assert [line for line in typist.heard if line.startswith("Shown for: Camera: none")] != []
    assert len([line for line in typist.heard if line.startswith("Shown for")]) == 2


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("9 yes", "There is no choice of that number. Type 1 to 2."),
        ("none", "There is no choice of that number. Type 1 to 2."),
        ("2 left", "That is no answer to it. Choose one of: none, rear, front."),
        ("2", "2. Camera: open."),
    ],
)
def test_what_is_no_choice_is_told_and_asked_again(
    file: Path, clock: Clock, typed: str, told: str
) -> None:
    typist = Typist(clock, deque(["c", "2 rear", typed, "", "q"]))
    assert talk_preview(file, typist, clock)
    assert typist.told(told)


def test_a_procedure_without_choices_offers_none(file: Path, clock: Clock) -> None:
    text = Path(__file__).parents[1].joinpath("second-person.yaml").read_text(encoding="utf-8")
    file.write_text(text, encoding="utf-8")
    typist = Typist(clock, deque(["c", "q"]))
    assert talk_preview(file, typist, clock)
    assert not any("c for the choices" in prompt for prompt in typist.prompts)
    assert typist.told("“c” means nothing here.")
