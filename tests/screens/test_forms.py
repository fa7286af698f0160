"""Notes, photos, faults and the rest: one key from any step, refused with a sentence."""

import json
import os
from pathlib import Path

import pytest
from bench import Bench, Click, More, Move, Typed, burst, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input
from walker import picture

from baycompanion.job.actions import Close
from baycompanion.screens.themes import BAY_DARK, BAY_LIGHT
from baycompanion.store.shop import open_shop


@pytest.mark.parametrize("step", ["joins-hold", "before", "disconnect"])
def test_a_note_is_one_key_away_from_any_step(bench: Bench, step: str) -> None:
    folder = bench.job(to=step)

    async def walk(pilot: Pilot[int]) -> None:
        card = job_screen(pilot).card
        await press(pilot, "f2", Typed("the owner called"), "enter")
        assert job_screen(pilot).card.title == card.title

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"] == {"words": "the owner called", "step": step}


def test_what_is_kept_beside_the_step_is_said_where_the_card_shows_none_of_it(
    bench: Bench, tmp_path: Path
) -> None:
    """A note has no line on the card, and that of a photo may lie below a long list."""
    folder = bench.job(to="gauges")
    borrow = ("Ground bolt", "enter", "down", "down", "enter", "left sill", "enter")

    async def walk(pilot: Pilot[int]) -> None:
        async def says(*moves: Move) -> str:
            await press(pilot, *moves)
            return shown(pilot, "#message")

        fields = [Typed(move) if " " in move else move for move in borrow]
        assert await says("f2", Typed("the owner waits"), "enter") == "Note 1 of this job."
        photo = Typed(str(picture(tmp_path)))
        assert await says("f3", photo, "enter") == f"Photo added: {picture(tmp_path).name}."
        broken = ("f5", Typed("a cracked knob"), "enter", "enter")
        assert await says(*broken) == "Fault 1 (vehicle), open."
        right = (More("Clear a fault"), "enter", Typed("a new knob"), "enter")
        assert await says(*right) == "Fault 1 (vehicle), put right."
        ground = (More("A circuit is borrowed"), *fields, "enter", "enter")
        assert await says(*ground) == "Ground bolt: ground, no load added."
        back = (More("Give a circuit back"), "enter", Typed("lug off"), "enter")
        assert await says(*back) == "Ground bolt: given back."

    bench.run(walk, folder)


THREE_MORE = """\
staff:
  - {id: T1, role: technician}
  - {id: T2, role: technician}
  - {id: T19, role: technician}
  - {id: S1, role: supervisor}
"""


def hire(bench: Bench) -> None:
    """Let somebody work here whose id begins as two others do."""
    (bench.folder / "staff.yaml").write_text(THREE_MORE, encoding="utf-8")
    bench.shop = open_shop(bench.folder)


@pytest.mark.parametrize("who", ["T2", "t19", "S1"])
def test_an_answer_of_a_list_can_be_typed_whole(bench: Bench, who: str) -> None:
    folder = bench.job(to="gauges")
    hire(bench)
    told = (Typed("in short"), "enter", Typed("nothing"), "enter", Typed("the joins"), "enter")
    bench.press(folder, More("Hand the job over"), *who, "enter", *told)
    assert bench.last(folder, "handed-over")["data"]["to"] == who.upper()


def test_what_no_answer_of_a_list_begins_with_is_never_taken_for_another(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    hire(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Hand the job over"), *"T-19", "enter", "enter")
        error = pilot.app.screen.query_one("#form-error")
        assert "“T-19” is none of them." in str(error.render())
        chosen = pilot.app.screen.focused
        assert chosen is not None and chosen.id == "field-to"
        await press(pilot, *"T19", "enter", Typed("in short"), "enter", Typed("nothing"), "enter")
        await press(pilot, Typed("the joins"), "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "handed-over")["data"]["to"] == "T19"


def test_what_fits_no_answer_is_told_from_its_first_letter_on(bench: Bench) -> None:
    """A first letter that led to an answer, and a second one to another, were left out of it."""
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Hand the job over"), *"stud", "enter")
        assert "“stud” is none of them." in shown(pilot, "#form-error")
        await press(pilot, *"zz", "enter")
        assert "“zz” is none of them." in shown(pilot, "#form-error")

    bench.run(walk, folder)


def test_what_was_refused_is_told_until_it_is_answered_anew(bench: Bench) -> None:
    """It stood below every later question, as if nothing had been put right."""
    folder = bench.job(to="route")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Hand the job over"), *"T-19", "enter")
        assert "“T-19” is none of them." in shown(pilot, "#form-error")
        await press(pilot, *"T2", "enter")
        assert shown(pilot, "#form-error") == ""
        assert isinstance(pilot.app.focused, Input)

    bench.run(walk, folder)


def test_a_note_leaves_what_is_half_typed_alone(bench: Bench) -> None:
    folder = bench.job(to="stations")
    note = ("f2", Typed("an aerial is bent"), "enter")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("88.1"), "enter", *"94.", *note)
        assert pilot.app.screen.query_one("#entry", Input).value == "94."
        await press(pilot, *"7", "enter", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]


def test_a_fault_is_raised_and_later_cleared_from_the_menu(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f5", Typed("the lamp is out"), "enter", "down", "enter")
        await press(pilot, More("Clear a fault"), "enter", Typed("a new bulb"), "enter")
        assert job_screen(pilot).job.state.faults[0].open is False

    bench.run(walk, folder)
    raised, cleared = bench.last(folder, "fault-raised"), bench.last(folder, "fault-cleared")
    assert raised["data"]["cause"] == "work"
    assert raised["data"]["words"] == "the lamp is out"
    assert cleared["data"] == {"fault": 1, "words": "a new bulb"}


def test_with_no_fault_open_the_menu_offers_none_to_clear(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f9")
        listed = pilot.app.screen.query_one("#menu-list")
        names = [str(option.prompt) for option in listed.options]  # type: ignore[attr-defined]
        assert names == [
            "1  Back to the bay board",
            "2  Hand the job over…",
            "3  This step was done earlier…",
            "4  Copy from the paper form…",
            "5  A circuit is borrowed…",
            "6  Take a splice plan…",
            "7  Work out a sum…",
            "8  Write the record as it stands",
            "9  Go on by a newer revision…",
            "0  Give the job up…",
            "   Light or dark",
        ]
        await press(pilot, "escape")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)


def test_a_number_that_the_menu_has_not_does_nothing(bench: Bench) -> None:
    folder = bench.job()
    bench.act(folder, Close(close="keys back"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f9", "9", "0")
        assert pilot.app.screen.query("#menu-list")

    bench.run(walk, folder)


REFUSED_PHOTOS = {
    "/no/such/lead.jpg": "There is no file /no/such/lead.jpg. Check the path.",
    "lead.txt": "lead.txt is no picture. Give a file ending in",
    "": "Path of the picture: nothing is entered yet.",
    "~nobody-of-this-name/lead.jpg": "Type the whole path.",
    "a\0b.jpg": "There is no file a\ufffdb.jpg. Check the path.",
    f"/{'x' * 9000}.jpg": "is longer than any file name. Check it.",
}


def test_a_photo_that_cannot_be_taken_is_refused_and_the_path_stays(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f3")
        for typed, says in REFUSED_PHOTOS.items():
            await press(pilot, Typed(typed), "enter")
            await pilot.pause()
            assert says in shown(pilot, "#form-error")
            field = pilot.app.screen.query_one("#field-path", Input)
            assert field.has_focus
            assert pilot.app.screen.get_widget_at(*field.region.offset)[0] is field

    bench.run(walk, folder)
    assert bench.kinds(folder) == before
    assert not (folder / "photos").exists()


def test_an_empty_path_takes_the_newest_picture_of_the_watched_folder(
    bench: Bench, tmp_path: Path
) -> None:
    watched = tmp_path / "camera"
    watched.mkdir()
    settings = bench.folder / "shop.yaml"
    settings.write_text(settings.read_text() + f"photos: {watched}\n", encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    for at, name in enumerate(("old.png", "new.png", "middle.png")):
        (watched / name).write_bytes(picture(tmp_path).read_bytes() + bytes([at]))
        moment = {"old.png": 1000, "middle.png": 2000, "new.png": 3000}[name]
        os.utime(watched / name, (moment, moment))
    folder = bench.job(to="gauges")
    bench.press(folder, "f3", "enter")
    assert bench.last(folder, "photo-added")["data"]["original"] == "new.png"


def test_a_watched_folder_that_is_not_there_says_what_else_can_be_done(bench: Bench) -> None:
    settings = bench.folder / "shop.yaml"
    settings.write_text(settings.read_text() + "photos: camera\n", encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f3", "enter")
        said = shown(pilot, "#form-error")
        assert said.startswith(f"{bench.folder / 'camera'} cannot be read: no such file")
        assert said.endswith("Type the path of the picture, or put the folder right in shop.yaml.")

    bench.run(walk, folder)


def test_giving_a_job_up_asks_why_and_ends_it(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Give the job up"), "enter")
        assert shown(pilot, "#form-error") == "Why: nothing is entered yet."
        await press(pilot, Typed("the owner wants it back"), "enter")
        assert job_screen(pilot).card.kind == "ended"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-1] == "abandoned"
    assert (folder / "record.json").exists()


def test_the_record_is_written_on_demand_and_marked_provisional(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Write the record"))
        assert "provisional" in shown(pilot, "#message")

    bench.run(walk, folder)
    record = json.loads((folder / "record.json").read_bytes())
    assert record["status"] == "provisional"


def test_escape_leaves_a_form_without_doing_anything(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for key in ("f2", "f3", "f4", "f5", "f6", "f7"):
            await press(pilot, key, Typed("something"), "escape")
            assert pilot.app.screen.query_one("#entry").has_focus
        await press(pilot, "f5", Typed("something"), Click("#form-back"))
        assert job_screen(pilot)

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_an_entry_that_is_too_long_is_refused_with_its_limit(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", Typed("x" * 10_001), "enter")
        assert shown(pilot, "#form-error") == "This is longer than 10,000 characters. Shorten it."
        await press(pilot, "escape", "f5", Typed("x" * 501), "enter", "enter")
        assert shown(pilot, "#form-error") == "This is longer than 500 characters. Split it."

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


@pytest.mark.parametrize("keys", [(More("Light or dark"),), ("ctrl+p", *"light", "down", "enter")])
def test_the_theme_changes_between_dark_and_light(bench: Bench, keys: tuple[Move, ...]) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        assert pilot.app.theme == BAY_DARK.name
        ground = pilot.app.screen.background_colors[1]
        await press(pilot, *keys)
        await pilot.pause()
        assert pilot.app.theme == BAY_LIGHT.name
        assert pilot.app.screen.background_colors[1] != ground
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)


def test_a_closed_job_can_only_be_read_and_shows_its_fingerprint(bench: Bench) -> None:
    folder = bench.job()
    bench.press(folder, "1", "down", "enter")
    before = (folder / "journal.jsonl").read_bytes()

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "ended"
        assert shown(pilot, "#title") == "Closed clean."
        head = bench.journal(folder)[-1]["hash"]
        printed = shown(pilot, "#pieces").splitlines()[0].removeprefix("Fingerprint ")
        assert head.startswith(printed.replace("-", "").replace(" ", "").lower())
        await press(pilot, "enter", *"1234567890", "f7", "f2", "f3", "f4", "f5", "f6")
        assert job_screen(pilot).card.kind == "ended"
        await press(pilot, "up", "f6", "enter")
        assert job_screen(pilot).card.kind == "ended", "no form asks for what would be refused"

    bench.run(walk, folder)
    assert (folder / "journal.jsonl").read_bytes() == before


def test_a_late_entry_keeps_the_time_it_was_made_and_the_time_claimed(bench: Bench) -> None:
    """It holds for the answer to the whole step, however many lines are ticked before it."""
    folder = bench.job(to="parts")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("done earlier"), Typed("noon"), "enter")
        assert "“noon” is no time of day." in shown(pilot, "#form-error")
        await press(pilot, Typed("07:45"), "enter", "1", "1", "enter")
        assert job_screen(pilot).card.step == "odometer"
        await press(pilot, Typed("80123"), "enter")

    bench.run(walk, folder)
    late, soon = [line for line in bench.journal(folder) if line["kind"] == "answered"][-2:]
    assert late["data"]["step"] == "parts"
    assert late["data"]["claimed"] == "2026-03-02T07:45:00.000Z"
    assert late["at"] > late["data"]["claimed"]
    assert "claimed" not in soon["data"], "one late answer, not all that follow"


def test_a_late_entry_of_a_time_that_is_still_to_come_was_yesterday(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    bench.press(folder, More("done earlier"), Typed("23:59"), "enter", Typed("18,16"), "enter")
    assert bench.last(folder, "answered")["data"]["claimed"] == "2026-03-01T23:59:00.000Z"


def test_a_form_filled_in_one_burst_keeps_its_answers_apart(bench: Bench) -> None:
    """A reader, or a fast hand: and the Enters that come on top save it no second time."""
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f4")
        await burst(pilot, "abc\ndef\nghi\n\n\n")
        assert job_screen(pilot).card.kind == "paused"

    bench.run(walk, folder)
    assert bench.last(folder, "paused")["data"] == {"reason": "abc", "loose": "def", "first": "ghi"}
    assert bench.kinds(folder).count("paused") == 1


def test_a_burst_goes_through_lists_and_stops_at_the_first_question_left_empty(
    bench: Bench,
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n")
        await burst(pilot, "\nWO 9\n\nVIN 1\n\n\n\nred van")
        assert shown(pilot, "#form-error") == "Vehicle: nothing is entered yet."
        values = {
            name: pilot.app.screen.query_one(f"#field-{name}", Input).value
            for name in ("order", "vehicle", "vin", "plate")
        }
        assert values == {"order": "WO 9", "vehicle": "red van", "vin": "VIN 1", "plate": ""}

    bench.run(walk)


def test_a_note_saved_by_several_enters_is_written_once(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2")
        await burst(pilot, "bent\n\n\n")

    bench.run(walk, folder)
    assert bench.kinds(folder).count("noted") == 1
