"""Trainees on the screen: for supervisors, with all that is known, released and taken back."""

from datetime import date

import pytest
from bench import READ, Bench, Typed, press, shown
from pictures import text_of
from signed_off import PIN, STAFF
from textual.pilot import Pilot
from textual.widgets import Input, OptionList
from trainees_bench import with_trainees

from baycompanion.screens.app import BayApp
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.learning.trainees import TraineesScreen
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.staff_log import NAME as LOG
from baycompanion.store.staff.staff_log import read_staff_log

LOOK = (Typed(PIN), "enter", Typed("s1"), "enter", READ)


@pytest.fixture
def full(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> Bench:
    """Return a bench whose app shows the trainees and nothing after them."""
    with_trainees(bench)

    def app(folder: object = None, who: object = None) -> BayApp:
        alone = TraineesScreen
        return BayApp(bench.shop, now=bench.clock, alone=lambda: alone(bench.shop, bench.clock))

    monkeypatch.setattr(bench, "app", app)
    return bench


def listed(pilot: Pilot[int]) -> list[str]:
    return [
        str(each.prompt) for each in pilot.app.screen.query_one("#trainee-rows", OptionList).options
    ]


def seen(pilot: Pilot[int]) -> str:
    """Return the text of the one in hand, its lines joined."""
    return " ".join(shown(pilot, "#trainee-text").split())


def test_everything_that_is_known_is_shown_to_a_supervisor(full: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *LOOK)
        assert shown(pilot, "#trainees-title") == "TRAINEES · shown to S1"
        head, own, other, nothing = listed(pilot)
        assert (head, other, nothing) == ("N1", "N2", "  nothing yet")
        assert own.split(" · ")[1:] == ["lamp", "3 watched jobs", "1 practised", "drill 79%"]
        assert own.split(" · ")[0].strip() == "– with a mentor"
        told = seen(pilot)
        for each in (
            "N1 · Fit a reading lamp (lamp, revision 2) Release: none. Works beside a mentor.",
            "Watched jobs: 3 by revision 2. The newest is 20260413-wo-82.",
            "Faults of the work: 0. Gates overridden: none.",
            "the middle of 3 jobs; and of 15 jobs of others the middle, and the middle half:",
            "fit: 31 min; others",
            "Practice: 1, walked to the end 0.",
            "Drill: asked 6 of",
            "Likely to be right today: 79%.",
            "No score gives a release",
        ):
            assert each in told, each
        await press(pilot, "down")
        assert seen(pilot) == "N2 No drill, no practice, no job and no release so far."

    full.run(walk)


@pytest.mark.parametrize(
    ("pin", "who", "why"),
    [
        ("", "T1", "T1 is a technician; this is for supervisors alone."),
        ("", "N1", "N1 is a trainee; this is for supervisors alone."),
        ("", "S1", "S1 has a PIN. Type it, too."),
        ("1234", "S1", "That is not the PIN of S1. 2 more tries without a wait."),
        ("", "X", "“X” is not on the staff of this shop."),
    ],
)
def test_nobody_else_sees_it(full: Bench, pin: str, who: str, why: str) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed(pin), "enter", Typed(who), "enter")
        assert isinstance(pilot.app.screen, FormScreen)
        assert shown(pilot, "#form-error").startswith(why)
        assert "lamp" not in text_of(pilot.app)  # type: ignore[arg-type]

    full.run(walk)


def test_a_supervisor_without_a_pin_is_believed_as_everywhere_and_signs_nothing(
    full: Bench,
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", Typed("S3"), "enter", READ)
        assert len(listed(pilot)) == 4
        await press(pilot, "r", "enter", "enter", "enter", Typed(PIN), "enter")
        await press(pilot, Typed("S3"), "enter")
        assert "S3 has no PIN, and can sign nobody off." in shown(pilot, "#form-error")

    full.run(walk)


def test_an_enter_too_many_leads_past_no_pin_of_a_release(full: Bench) -> None:
    """It said “empty where you have none”, refused that, and showed the PIN in the next field."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *LOOK, "r", "enter", "enter", "enter")
        await press(pilot, "enter", Typed(PIN))
        *_, pin, who = pilot.app.screen.query(Input)
        assert (pin.has_focus, pin.value, who.value) == (True, PIN, "")
        assert "PIN: nothing is entered yet." in shown(pilot, "#form-error")
        assert "empty where" not in text_of(pilot.app)  # type: ignore[arg-type]

    full.run(walk)


def test_an_enter_too_many_leads_past_no_pin_where_every_supervisor_has_one(full: Bench) -> None:
    staff = full.folder / "staff.yaml"
    staff.write_text(STAFF.replace("S3, role: supervisor", "S3, role: technician"))
    full.shop = open_shop(full.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", Typed(PIN))
        pin, who = pilot.app.screen.query(Input)
        assert (pin.has_focus, pin.value, who.value) == (True, PIN, "")

    full.run(walk)


def test_a_release_is_signed_and_taken_back_and_both_stand_in_the_log(full: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *LOOK)
        await press(pilot, "t")
        assert isinstance(pilot.app.screen, TraineesScreen), "there is none to take back"
        await press(pilot, "r", "enter", Typed("2026-09-30"), "enter", "enter")
        await press(pilot, Typed(PIN), "enter", Typed("S1"), "enter", READ)
        assert shown(pilot, "#trainees-message") == (
            "N1 is released until 2026-09-30. It is in the log."
        )
        assert listed(pilot)[1].split(" · ")[0].strip() == "✓ released to 2026-09-30"
        assert "Signed by S1 for revision 2, watched in 20260413-wo-82." in seen(pilot)
        [release] = open_shop(full.folder).members["N1"].releases
        assert release.until == date(2026, 9, 30)
        await press(pilot, "t", Typed(PIN), "enter", Typed("S2"), "enter", READ)
        assert listed(pilot)[1].split(" · ")[0].strip() == "– with a mentor"
        assert open_shop(full.folder).members["N1"].releases == ()

    full.run(walk)
    events = read_staff_log(full.folder / LOG).events
    assert [(event.by, event.kind) for event in events] == [
        ("S1", "signed-off"),
        ("S2", "taken-back"),
    ]


@pytest.mark.parametrize(
    ("job", "until", "words", "who", "why"),
    [
        ("20260413-wo-82", "soon", "", "S1", "“soon” is no date. Type it like 2026-09-30."),
        ("20260413-wo-82", "2026-01-01", "", "S1", "2026-01-01 is over already."),
        ("20260413-wo-82", "2026-09-30", "", "S2", "S2 stands in 20260413-wo-82 neither as"),
        ("20260302-past-0", "2026-09-30", "", "S1", "N1 gave 0 of 5 answers in"),
        ("nothing", "2026-09-30", "", "S1", "nothing"),
    ],
)
def test_what_is_refused_keeps_the_form_open_as_typed(
    full: Bench, job: str, until: str, words: str, who: str, why: str
) -> None:
    past = next(each.name for each in sorted((full.folder / "jobs").iterdir()))
    job = past if "past" in job else job

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *LOOK, "r", Typed(job), "enter", Typed(until), "enter")
        await press(pilot, Typed(words), "enter", Typed(PIN), "enter", Typed(who), "enter")
        assert why in shown(pilot, "#form-error")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, TraineesScreen)

    full.run(walk)
    assert open_shop(full.folder).members["N1"].releases == ()


def test_page_keys_read_on_in_the_one_in_hand_and_back(full: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *LOOK)
        listing = pilot.app.screen.query_one("#trainee-rows", OptionList)
        text, in_hand = pilot.app.screen.query_one("#trainee-large"), listing.highlighted
        assert text.max_scroll_y > 0
        await press(pilot, "pagedown")
        assert (text.scroll_y > 0, listing.highlighted) == (True, in_hand)
        await press(pilot, "pageup")
        assert (text.scroll_y, listing.highlighted) == (0, in_hand)

    full.run(walk, size=(64, 21))


def test_back_without_an_answer_shows_nothing_and_ends_where_it_was_alone(full: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "escape")
        assert pilot.app._exit

    full.run(walk)


def test_it_is_reached_from_learning(bench: Bench) -> None:
    with_trainees(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "l", *["down"] * 6, "enter", READ, "t", *LOOK)
        assert isinstance(pilot.app.screen, TraineesScreen)
        await press(pilot, "escape")
        assert shown(pilot, "#learning-title").startswith("LEARNING · S3")

    bench.run(walk)
