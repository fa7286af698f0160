"""Copying from the paper form, moving to a newer revision, and a second person, on the screen."""

import pytest
from bay import SMALL_TEXT, T1
from bench import Bench, More, Move, Typed, clock_of, job_screen, press, shown
from pictures import text_of
from scenes import PAUSE
from second_person import TEXT, TOOLS
from textual.pilot import Pilot

from baycompanion.job.actions import (
    Accept,
    Action,
    Answer,
    Close,
)
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.views.card.wording import KEPT_BACK

PAPER = More("Copy from the paper form")
REVISE = More("newer revision")


# --- from paper -------------------------------------------------------------------------------


def test_steps_are_copied_from_paper_one_after_the_other_with_their_times(bench: Bench) -> None:
    """R54: each is marked, with both times, and the time is asked again for the next one."""
    folder = bench.job(to="odometer")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, PAPER, Typed("07:40"), "enter")
        assert "From paper" in shown(pilot, "#message")
        await press(pilot, Typed("80123"), "enter")
        assert shown(pilot, "#form-title") == "From the paper form"
        await press(pilot, Typed("07:41"), "enter", Typed("2026-03-03"), "enter")
        await press(pilot, "escape")
        assert shown(pilot, "#message") == "Nothing more is copied from paper."
        await press(pilot, Typed("88.1"), "enter", "enter")
        assert job_screen(pilot).card.step == "code"

    bench.run(walk, folder)
    answers = [line for line in bench.journal(folder) if line["kind"] == "answered"][-3:]
    assert [
        (line["data"]["step"], line["data"].get("claimed"), line["data"].get("on_paper"))
        for line in answers
    ] == [
        ("odometer", "2026-03-02T07:40:00.000Z", True),
        ("promised", "2026-03-02T07:41:00.000Z", True),
        ("stations", None, None),
    ]


def test_that_an_answer_is_dated_back_stays_on_the_screen_until_it_is_given_or_taken_back(
    bench: Bench,
) -> None:
    """Nobody dates an answer back without seeing it."""
    folder = bench.job(to="odometer")

    async def walk(pilot: Pilot[int]) -> None:
        for entry, said in ((PAPER, "From paper"), (More("done earlier"), "Late entry")):
            await press(pilot, entry, Typed("07:40"), "enter")
            await press(pilot, "up", "down", "f2", "escape")
            assert shown(pilot, "#message").startswith(f"{said}: what you answer now was done")
            await press(pilot, "escape", "escape")
            assert shown(pilot, "#message") == ""
        await press(pilot, Typed("80123"), "enter")

    bench.run(walk, folder)
    assert "claimed" not in bench.last(folder, "answered")["data"]


def test_a_wait_that_ran_out_on_paper_is_copied_by_its_time(bench: Bench) -> None:
    folder = bench.job(to="cure")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, PAPER)
        assert shown(pilot, "#form-title") == "The wait ran out on paper"
        clock_of(pilot).move(seconds=30)
        at = clock_of(pilot)()
        await press(pilot, Typed(f"{at:%H:%M}"), "enter")
        assert "still has" in shown(pilot, "#form-error"), "too early by the paper as well"

    bench.run(walk, folder)
    assert read_job(folder).state.current == "cure"


def test_there_is_nothing_to_copy_before_the_first_step(bench: Bench) -> None:
    folder = bench.new_job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, PAPER)
        assert (
            shown(pilot, "#message")
            == "There is no step to copy now. Settle first what stands here, then copy on."
        )

    bench.run(walk, folder)


# --- a newer revision -------------------------------------------------------------------------


def shelve(bench: Bench, *replaced: tuple[str, str]) -> None:
    """Put a newer revision of the small procedure on the shelf of the shop."""
    text = SMALL_TEXT.replace("revision: 3\n", "revision: 4\n")
    for old, new in replaced:
        assert text.count(old) == 1
        text = text.replace(old, new)
    path = bench.shop.procedures / "small-receiver.yaml"
    path.write_text(text, encoding="utf-8")


def test_the_job_goes_on_by_the_newer_revision_after_its_changes_were_read(bench: Bench) -> None:
    """R55."""
    folder = bench.job(to="route")
    shelve(bench, ("at-most: 12.90", "at-most: 12.95"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, REVISE)
        lead = shown(pilot, "#form-lead")
        assert "What was done already and is done again:" in lead
        assert "12. Measure the battery at rest." in lead
        await press(pilot, "enter")
        assert "nothing is entered" in shown(pilot, "#form-error")
        await press(pilot, Typed("the maker says so"), "enter")
        assert job_screen(pilot).card.step == "rest-voltage"
        assert "revision 4" in shown(pilot, "#where")
        assert "Again: Revision 4 asks it otherwise." in shown(pilot, "#pieces")

    bench.run(walk, folder)
    assert read_job(folder).procedure.revision == 4


def test_a_shelf_without_a_newer_revision_says_so(bench: Bench) -> None:
    folder = bench.job(to="route")
    (bench.shop.procedures / "small-receiver.yaml").write_text(SMALL_TEXT, encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, REVISE)
        assert "no newer revision" in shown(pilot, "#message")

    bench.run(walk, folder)


def test_a_paused_job_that_goes_on_by_none_is_asked_for_no_reason(bench: Bench) -> None:
    """It was asked why, and every answer was refused."""
    folder = bench.job(to="route")
    bench.act(folder, PAUSE)
    shelve(bench, ("at-most: 12.90", "at-most: 12.95"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, REVISE)
        assert "only while somebody is at work on it" in shown(pilot, "#message")

    bench.run(walk, folder)
    assert read_job(folder).procedure.revision == 3


@pytest.mark.parametrize(
    "mistake", [("holds: refit", "holds: nowhere"), ("title: Refit", "titel: x")]
)
def test_a_newer_revision_with_a_mistake_changes_nothing_and_says_where(
    bench: Bench, mistake: tuple[str, str]
) -> None:
    folder = bench.job(to="route")
    old, new = mistake
    text = SMALL_TEXT.replace("revision: 3\n", "revision: 4\n").replace(old, new, 1)
    (bench.shop.procedures / "small-receiver.yaml").write_text(text, encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, REVISE)
        assert "small-receiver.yaml:" in shown(pilot, "#message")

    bench.run(walk, folder)
    assert read_job(folder).procedure.revision == 3


# --- a second person --------------------------------------------------------------------------


FOUND: list[Action] = [
    Accept(accept="hazards"),
    *TOOLS,
    Answer(answer="draw", value="48"),
    Answer(answer="capacity", value="60"),
    Answer(answer="days"),
    Answer(answer="starts", outcome="passed"),
]


def found(draw: str, by: str) -> tuple[Move, ...]:
    """Return what a second person types: the draw and the capacity they found, and who they are."""
    return Typed(draw), "enter", Typed("60"), "enter", Typed(by), "enter", "enter"


def test_a_second_person_measures_without_seeing_the_first_reading(bench: Bench) -> None:
    """R49."""
    bench.use(TEXT)
    folder = bench.new_job()
    bench.act(folder, *FOUND)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "up", "up", "up", "up")
        assert KEPT_BACK in shown(pilot, "#pieces")
        await press(pilot, "escape", "1")
        await press(
            pilot, Typed("30"), "enter", Typed("60"), "enter", Typed("T2"), "enter", "enter"
        )
        assert "48 at first, 30 afresh" in shown(pilot, "#pieces")
        await press(pilot, "1", "1")
        await press(
            pilot, Typed("47"), "enter", Typed("60"), "enter", Typed("T2"), "enter", "enter"
        )
        assert job_screen(pilot).card.step == "noted"

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["readings"] == {"capacity": "60", "draw": "47"}
    assert load_procedure(TEXT, "t").procedure.procedure == "second-person"


def test_work_is_not_released_for_now_while_somebody_else_is_on_the_staff(bench: Bench) -> None:
    """R51."""
    bench.use(TEXT)
    folder = bench.new_job()
    bench.act(folder, *FOUND)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "3", Typed("alone"), "enter")
        assert "Call one of: T2" in shown(pilot, "#form-error")
        await press(pilot, "escape", "f7", Typed("T2 is ill"), "enter")
        assert job_screen(pilot).card.step == "noted"

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["outcome"] == "not done"


def test_a_second_person_looks_at_a_closed_job_that_was_released_for_now(bench: Bench) -> None:
    """R51: shown until it is done, and nothing else is taken."""
    bench.use(TEXT)
    folder = bench.new_job()
    bench.act(folder, *FOUND)
    alone = OpenJob(folder, ShopLists({"T1": T1}, ()), T1, bench.clock())
    for action in (
        Answer(answer="seen", outcome="provisional", words="nobody else in"),
        Answer(answer="noted"),
        Answer(answer="keys"),
        Close(close="keys back"),
    ):
        assert not isinstance(alone.act(action, T1, bench.clock()), Refused)
    alone.leave()

    async def board(pilot: Pilot[int]) -> None:
        assert "closed, a second person is still to look" in await picture_of(pilot)
        await press(pilot, "home", "enter", "f9", "1", "end", "enter")
        assert shown(pilot, "#form-title") == "WO 7: Blue van", "it takes an entry, so it is asked"

    async def walk(pilot: Pilot[int]) -> None:
        assert "A second person is still to look" in shown(pilot, "#pieces")
        await press(pilot, "1")
        await press(
            pilot, Typed("47"), "enter", Typed("60"), "enter", Typed("T1"), "enter", "enter"
        )
        assert "cannot witness it" in shown(pilot, "#form-error")
        await press(pilot, "escape", "1")
        await press(
            pilot, Typed("47"), "enter", Typed("60"), "enter", Typed("T2"), "enter", "enter"
        )
        assert "still to look" not in shown(pilot, "#pieces")
        await press(pilot, "1", "2", "enter")

    bench.new_job("WO 8", Vehicle(description="red car"))
    bench.run(board)
    bench.run(walk, folder)
    assert bench.last(folder, "answered")["by"] == "T2"
    assert read_job(folder).state.status == "closed"


async def picture_of(pilot: Pilot[int]) -> str:
    """Return the words of the whole screen, its lines run together."""
    await pilot.pause()
    return " ".join(text_of(pilot.app).split())
