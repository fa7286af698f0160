"""Everything that a technician can do in a job, done by typing lines."""

import contextlib
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from bay import BAD, GOOD, N1, ON_THE_GRID, SMALL_TEXT, STATIONS, T1, keys_in
from listener import Clock, Typist

from baycompanion.job.actions import Accept, Answer
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.kinds import Overridden
from baycompanion.plain.job import walk_job
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working import hand_over

Type = Callable[..., Typist]
Walk = Callable[..., None]
Newest = Callable[[str], dict[str, Any]]

SILENT = [Answer(answer="sound", outcome="not fitted")]
STUCK = [Answer(answer="amplifier-lead", outcome="not done", words="stuck")]


class TestCautions:
    """Cautions are heard before the step, and acknowledged one by one."""

    def test_each_is_heard_whole_before_it_can_be_acknowledged(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("disconnect")
        heard = typing("", "").heard
        danger = heard.index("DANGER: The battery can arc.")
        assert heard[danger + 1 : danger + 3] == [
            "An arc burns eyes and hands.",
            "Take the negative clamp off first.",
        ]
        warning = heard.index("WARNING: A tool can short the battery.")
        assert heard[warning + 1 : warning + 3] == [
            "The tool burns.",
            "Cover the positive clamp.",
        ]
        asked = [n for n, line in enumerate(heard) if line.startswith("1 I have read this")]
        assert danger < asked[0] < warning < asked[1]
        assert journal("acknowledged") == {"by": "T1", "step": "disconnect", "caution": 1}

    def test_they_stand_before_the_step_when_it_is_asked(self, typing: Type, walk: Walk) -> None:
        walk("disconnect")
        heard = typing("", "").heard
        step = heard.index("Disconnect the battery.")
        assert heard[step - 1] == "NOTICE: Stored settings are lost. Write them down first."

    def test_done_is_no_answer_to_a_caution(self, typing: Type, walk: Walk) -> None:
        walk("disconnect")
        typist = typing("done")
        assert typist.told("“done” means nothing here. Type ? for what can be typed.")

    def test_what_must_stay_true_is_said_when_it_begins(self, typing: Type, walk: Walk) -> None:
        walk("disconnect")
        assert typing("", "", "1").told("MUST STAY TRUE: The battery stays off.")

    def test_it_is_asked_at_its_end(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("reconnect")
        typist = typing("2", "a clamp slipped on")
        assert typist.told("Did the battery stay off until now?")
        assert read_job(folder).state.standings["battery-off"][1] is False


class TestValues:
    """A value is typed as it is; one outside its limits is asked about first."""

    def test_a_good_reading_is_saved_at_once(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("rest-voltage")
        assert typing("12.6").told("Saved: inside · 12.6 V.")
        assert journal("answered")["words"] == "12.6"

    def test_a_slip_of_the_hand_is_typed_again_before_it_is_kept(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("rest-voltage")
        typist = typing("126", "12.6")
        assert "OUTSIDE: 12.4 to 12.90 V. Enter saves it as it is, or type it again:" in (
            typist.prompts
        )
        assert len(read_job(folder).state.track("rest-voltage").attempts) == 1

    def test_a_bad_reading_is_kept_and_measured_again(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("rest-voltage")
        typist = typing("11.9", "", "1", "12.5")
        assert typist.told("It came out: outside · 11.9 V")
        assert typist.told("1 Do it again, 2 Vehicle at fault, 3 Work at fault")
        attempts = read_job(folder).state.track("rest-voltage").attempts
        assert [each.answer.words for each in attempts] == ["11.9", "12.5"]

    def test_what_is_no_reading_is_refused_in_a_sentence(self, typing: Type, walk: Walk) -> None:
        walk("rest-voltage")
        typist = typing("lots")
        assert typist.told("“lots” is no number")
        assert typist.prompts[-1].startswith("Reading in V")

    def test_a_circuit_that_is_borrowed_has_a_word_of_its_own(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("gauges")
        told = typing("?circuit", "fuse 4", "1", "left sill", "5", "7", "").told
        assert told("Saved: fuse 4: 7 A added, OVER its fuse of 5 A.")
        assert journal("circuit-borrowed")["method"] == "tap"

    def test_a_word_of_the_program_is_marked_where_text_is_an_answer(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("gauges")
        assert typing("?note", "clean copper").told("Saved: Note 1 of this job.")
        assert journal("noted")["words"] == "clean copper"
        typing("note")
        assert journal("answered")["words"] == "note"

    def test_an_answer_may_begin_with_the_mark(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("gauges")
        typing("??18")
        assert journal("answered")["words"] == "?18"

    def test_there_may_be_no_answer_of_the_usual_kind(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("rest-voltage")
        typing("?cannot", "1", "meter is broken")
        assert (journal("answered")["outcome"], journal("answered")["words"]) == (
            "could not test",
            "meter is broken",
        )


class TestLists:
    """A list is typed line by line, and each line of a step is answered by itself."""

    def test_entries_are_typed_one_a_line(self, typing: Type, walk: Walk, journal: Newest) -> None:
        walk("stations")
        typing("88.1", "94.7", "?undo", "101.1", "")
        assert journal("answered")["entries"] == ["88.1", "101.1"]

    def test_an_entry_unlike_the_one_before_is_told(self, typing: Type, walk: Walk) -> None:
        walk("stations-back")
        typist = typing("88.1", "97.4")
        for n, station in enumerate(STATIONS, 1):
            assert typist.told(f"Before, {n}: {station}")
        assert typist.told("Before it was 94.7. To take your entry back, type ?undo.")
        assert not typist.told("Before it was 88.1")

    def test_a_list_is_begun_afresh_after_another_step(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("stations")
        typing("88.1", "", "4711", "")
        assert journal("answered")["entries"] == []

    def test_lines_are_asked_one_after_the_other(self, typing: Type, walk: Walk) -> None:
        walk("before")
        prompts = typing("1", "2", "left one dim", "1").prompts
        lines = [prompt for prompt in prompts if prompt.startswith("Line ")]
        assert [line.split(":")[0] for line in lines] == [
            "Line 1 of 4, Horn",
            "Line 2 of 4, Lamps",
            "Line 3 of 4, Lamps",
            "Line 4 of 4, Amplified sound",
        ]

    def test_the_rest_is_fine_by_its_key_or_its_word(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("before")
        assert typing("2", "silent", "rest").told("Every line has an answer:")
        ticks = read_job(folder).state.track("before").ticks
        assert [each.answer.outcome for each in ticks.values()] == [
            "faulty",
            "works",
            "works",
            "works",
        ]

    def test_any_line_is_taken_by_its_number_and_answered_again(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("before")
        typist = typing("9", "lines", "line 1", "2", "silent", "")
        assert typist.told("1. Horn – works")
        assert typist.told("Line 1 of 4, Horn, until now works: 1 Works, 2 Faulty")
        assert read_job(folder).state.track("before").ticks["horn"].answer.outcome == "faulty"
        assert read_job(folder).state.current == "panels"

    def test_an_instrument_past_its_date_is_told_when_it_is_ticked_off(
        self, typing: Type, walk: Walk
    ) -> None:
        """Not steps later, at the gate that it shuts; on the screen the line says so at once."""
        walk("tools")
        typist = typing("1", "M3", "2026-03-01")
        assert typist.told("Saved: Multimeter: overdue for calibration.")

    def test_fasteners_are_counted_in_numbers(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("out")
        typist = typing("six", "6", "", "0", "")
        assert typist.told("“six” is no whole number. Type how many: Screw.")
        ticks = read_job(folder).state.track("out").ticks
        assert {name: tick.answer.count for name, tick in ticks.items()} == {"screw": 6, "clip": 0}

    def test_the_rest_needs_a_list_that_allows_it(self, typing: Type, walk: Walk) -> None:
        walk("tools")
        assert typing("rest").told("There is no “rest” here.")

    def test_a_line_that_is_not_there_is_told(self, typing: Type, walk: Walk) -> None:
        walk("before")
        assert typing("line 9").told("Type the number of a line, from 1 to 4, after the word.")
        assert not typing("line 9").told("Traceback")


class TestGates:
    """A shut gate says why, what opens it, and who may override it."""

    def test_it_says_what_it_waits_for(self, typing: Type, walk: Walk) -> None:
        walk(sound=SILENT)
        typist = typing()
        assert typist.told("Gate shut: sound-before-refit.")
        assert typist.told("An opened dash marks the panels.")
        assert typist.told("It opens when this is settled:")
        assert any(
            line.startswith("1. ") and "Every speaker sounds" in line for line in typist.heard
        )

    def test_one_line_that_was_read_is_not_in_every_prompt_again(
        self, typing: Type, walk: Walk
    ) -> None:
        walk(sound=SILENT)
        typist = typing("where", "where")
        prompts = [line for line in typist.prompts if "Override" in line]
        assert prompts[0].startswith("1 Look at that step (or Enter), ")
        assert len(prompts) == 3

    def test_its_lines_lead_to_their_steps(self, typing: Type, walk: Walk) -> None:
        walk(sound=SILENT)
        typist = typing("")
        assert typist.told("Looking at: step 24 of 33.")
        assert typist.told("To do it again, type reopen 24.")
        assert typist.told("Now, gate shut: sound-before-refit")

    def test_an_override_takes_an_authorised_person_and_every_question(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk(sound=SILENT)
        typist = typing("8", "1", "no speaker yet", "a cover", "T1", "", "", "", "S1")
        assert typist.told("From the first question again; Enter alone keeps what you typed.")
        [override] = read_job(folder).state.overrides
        assert isinstance(override.data, Overridden)
        assert override.by == "S1"
        assert override.data.words == "no speaker yet"

    def test_no_single_line_commits_an_override(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk(sound=SILENT)
        typing("8", "1", "no speaker yet", "a cover", "?back")
        assert read_job(folder).state.overrides == ()

    def test_two_gates_on_one_step_are_both_heard(self, typing: Type, walk: Walk) -> None:
        walk(sound=SILENT, amplifier_lead=STUCK)
        typist = typing("8", "1", "no speaker yet", "a cover", "S1")
        assert typist.told("Gate shut: sound-before-refit (2 gates hold here).")
        assert typist.told("Gate shut: amplifier-checked.")
        assert typist.told("A loose lead is out of reach behind the dash.")


class TestFromAnyStep:
    """What the screens do by one key from any step."""

    def test_a_note(self, typing: Type, walk: Walk, journal: Newest) -> None:
        walk("route")
        typing("note", "glove box squeaks")
        assert journal("noted") == {"by": "T1", "step": "route", "words": "glove box squeaks"}

    def test_a_photo(self, typing: Type, walk: Walk, journal: Newest, photo: Path) -> None:
        walk("route")
        assert typing("photo", "gone.png", str(photo)).told("There is no file gone.png.")
        assert journal("photo-added")["original"] == "bay.png"

    def test_a_photo_that_is_gone_since_is_named_so(
        self, typing: Type, folder: Path, photo: Path
    ) -> None:
        """As where the screens look at it; a place alone said that it lies there."""
        typing("photo", str(photo))
        assert not typing("photos").told("missing")
        [copy] = (folder / "photos").iterdir()
        copy.unlink()
        heard = typing("photos").heard
        [line] = [each for each in heard if "bay.png" in each]
        assert heard[heard.index(line) + 1] == "It cannot be shown: the file is missing."
        assert not any(each.startswith("They lie in") for each in heard)

    def test_a_fault_and_its_end(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        typist = typing("clear", "fault", "clip broke", "2", "clear", "1", "new clip")
        assert typist.told("No fault is open.")
        [fault] = read_job(folder).state.faults
        assert (fault.cause, fault.open, fault.cleared_words) == ("work", False, "new clip")

    def test_the_faults_left_are_told_apart_by_more_than_the_number_typed(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("route")
        raised = [line for name in ("clip", "lamp", "horn") for line in ("fault", name, "2")]
        typist = typing(*raised, "clear", "1", "new clip", "clear", "2", "new fuse")
        assert typist.told("1. Fault 2: lamp")
        assert typist.told("2. Fault 3: horn")
        assert [fault.open for fault in read_job(folder).state.faults] == [False, True, False]

    def test_the_circuits_left_are_told_apart_by_more_than_the_number_typed(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("route")
        taps = [
            line
            for name in ("F1", "F2", "F3")
            for line in ("circuit", name, "1", "behind the glove box", "10", "2")
        ]
        back = ("more", "6")
        typist = typing(*taps, *back, "1", "tap taken off", *back, "2", "tap taken off")
        assert typist.told("1. Circuit 2: F2, tap at behind the glove box")
        assert typist.told("2. Circuit 3: F3, tap at behind the glove box")
        in_use = [each.data.circuit for each in read_job(folder).state.circuits if each.in_use]
        assert in_use == ["F2"]

    def test_a_pause_and_the_way_back(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        typist = typing("pause", "meal", "dash is open", "route the leads", "note", "?back", "")
        assert typist.told("Paused: meal")
        assert typist.told("Loose, open or live: dash is open")
        assert typist.told("First on return: route the leads")
        assert read_job(folder).state.status == "open"

    @pytest.mark.parametrize("word", ["pause", "reopen", "reopen 1"])
    def test_what_a_paused_job_refuses_is_asked_nothing_about(
        self, typing: Type, walk: Walk, word: str
    ) -> None:
        """Three questions were answered, and only then came that the job is paused."""
        walk("route")
        typist = typing("pause", "meal", "dash is open", "route the leads", word)
        assert typist.told("The job is paused. Go on with it first.")
        assert not typist.told("From the first question again")

    def test_an_ended_job_asks_nothing_that_it_refuses(self, typing: Type, walk: Walk) -> None:
        walk("route")
        words = ("note", "photo", "pause", "fault", "reopen", "clear", "hand over", "circuit")
        typist = typing("give up", "the owner took the van", *words, "plan", "revise", "give up")
        why = "This job is abandoned; its record only stands to be read."
        assert typist.heard.count(why) == len(words) + 3

    def test_a_long_pause_is_verified_before_the_work_goes_on(
        self, typing: Type, walk: Walk, folder: Path, clock: Clock
    ) -> None:
        walk("out")
        typing("?pause", "night", "battery off", "count")
        clock.move(12 * 3600)
        typist = typing("1", "1", "1", "all as left", "2", "2", "")
        assert typist.told("After a long pause or a change of hands, verify first.")
        assert typist.told("From the first question again")
        assert read_job(folder).state.status == "open"

    def test_where_a_value_is_typed_a_step_is_reopened_with_the_mark(
        self, typing: Type, walk: Walk
    ) -> None:
        walk("odometer")
        typist = typing("?look 1", "?undo")
        assert typist.told("To do it again, type ?reopen 1.")
        assert typist.told("For a finished step, type ?reopen.")

    def test_a_step_is_reopened_by_its_number(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        assert typing("reopen 30").told("Only a finished step can be reopened.")
        typist = typing("reopen 20", "it moved")
        assert typist.told("Reopen 20. Each join holds.")
        assert typist.heard[typist.heard.index("Why (?back leaves):") + 1] == "Saved."
        assert not read_job(folder).state.track("joins-hold").finished

    def test_the_step_finished_last_is_reopened_without_a_number(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("odometer")
        typing("?reopen", "one part was wrong")
        assert journal("reopened")["step"] == "parts"

    def test_the_job_changes_hands(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("odometer")
        typist = typing("?hand over", "1", "parts are in", "nothing", "odometer", "", "read it")
        assert typist.told("For T2 to take")
        assert read_job(folder).state.technician == "T2"
        assert read_job(folder).state.status == "open"

    def test_a_late_entry_keeps_both_times(
        self, typing: Type, walk: Walk, journal: Newest, clock: Clock
    ) -> None:
        walk("route")
        typist = typing("late", "soon", "08:05", "note", "n", "1")
        assert typist.told("“soon” is no time of day. Type it like 14:05, or 2026-11-25 14:05.")
        assert typist.told("Late entry: what you answer now was done at 08:05.")
        assert journal("answered")["claimed"] == "2026-03-02T08:05:00.000Z"
        typing("4", "", "4", "", "")
        assert "claimed" not in journal("answered") or journal("answered")["claimed"] is None

    def test_what_was_done_on_paper_on_friday_is_copied_on_monday(
        self, typing: Type, walk: Walk, journal: Newest, clock: Clock
    ) -> None:
        """A laptop that failed is rarely back the same day."""
        walk("route")
        typist = typing("paper", "2026-03-32 16:40", "2026-02-27 16:40", "1")
        assert typist.told(
            "“2026-03-32 16:40” is no time of day. Type it like 14:05, or 2026-11-25 14:05."
        )
        assert typist.told("From paper: what you answer now was done at 2026-02-27 16:40.")
        assert journal("answered")["claimed"] == "2026-02-27T16:40:00.000Z"
        assert any("Enter keeps “2026-02-27 16:40”" in line for line in typist.heard), "next"

    def test_why_is_said_on_demand(self, typing: Type, walk: Walk) -> None:
        walk("route")
        assert typing("why").told("The procedure gives no why for this step.")

    def test_a_gate_says_itself_why_it_is_shut(self, typing: Type, walk: Walk) -> None:
        walk(sound=SILENT)
        typist = typing("why")
        assert typist.told("An opened dash marks the panels.")
        assert typist.told("This card is no step: it says itself why it is here.")

    def test_looking_moves_nothing(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        typist = typing("look 12", "look 99", "look", "steps", "where")
        assert typist.told("Looking at: step 12 of 33.")
        assert typist.told("Answered: inside · 12.60 V (T1, ")
        assert typist.told("Type the number of a step, from 1 to 33, after the word.")
        assert typist.told("28. Route the leads. – now")
        assert typist.told("Gate reserve-before-dash: open")
        assert typist.told("phase 4 of 5: Refit")
        assert typist.told("Last finished: 27. Write down each lamp that is lit again.")
        assert read_job(folder).state.current == "route"
        assert typist.prompts[-1] == typist.prompts[0]

    def test_the_record_is_written_on_demand(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        typist = typing("record")
        assert typist.told(f"Written, marked provisional: {folder / 'record.json'}")
        assert (folder / "record.json").is_file()

    def test_the_job_is_given_up(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk("route")
        typist = typing("give up", "?back", "give up", "owner came back")
        assert typist.told("Left. Nothing was done.")
        assert typist.told("The job ends here and cannot be taken up again.")
        assert read_job(folder).state.status == "abandoned"
        assert typist.told("Abandoned 08:")

    def test_why_a_job_that_ended_has_no_hand_over_sheet_is_said(
        self, typing: Type, walk: Walk, folder: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def fail(*_: object) -> bytes:
            raise StoreTrouble("The disk is full.")

        monkeypatch.setattr(hand_over, "hand_over_page", fail)
        walk("route")
        typist = typing("give up", "owner came back")
        assert read_job(folder).state.status == "abandoned"
        again = f"Write it with: baycompanion handover {folder.name}"
        why = "its hand-over sheet is not written: The disk is full."
        assert typist.told(f"The job has ended; {why} {again}")

    def test_the_timeline_is_told_once_the_job_has_ended(self, typing: Type, walk: Walk) -> None:
        walk("route")
        typist = typing("timeline", "give up", "owner came back", "timeline", "more", "2")
        early = typist.heard.index("The timeline is told once the job has ended.")
        assert not any("Keys in: " in line for line in typist.heard[:early])
        ends = [line for line in typist.heard if "Given up: owner came back · T1" in line]
        assert len(ends) == 2, "by its word, and by its number"
        assert typist.told("Keys in: WO 7, Blue van")

    def test_whatever_the_menu_offers_is_there_by_number(
        self, typing: Type, walk: Walk, folder: Path
    ) -> None:
        walk("route")
        typist = typing("more", "", "more", "1")
        assert typist.told("1. Back to the bay board")
        assert not typist.told("Light or dark")
        assert typist.leaving == "board"

    def test_where_a_phase_begins_the_step_is_counted_once(self, typing: Type, walk: Walk) -> None:
        walk("route")
        heard = typing().heard
        steps = [line for line in heard if line.startswith("Step ")]
        assert len(steps) == 1
        assert " · " not in steps[0]
        phase = next(line for line in heard if " of 5: " in line)
        assert heard.index(phase) < heard.index(steps[0])

    def test_where_the_card_counts_no_step_the_line_of_the_phase_does(
        self, typing: Type, walk: Walk
    ) -> None:
        walk(sound=SILENT)
        heard = typing().heard
        assert sum("Step " in line and "phase " in line for line in heard) == 1
        assert any(line.startswith("Gate shut: ") for line in heard)

    @pytest.mark.parametrize("wrong", ["99", "0", "²", "board", "?"])
    def test_what_is_no_number_of_the_menu_is_told_and_asked_again(
        self, typing: Type, walk: Walk, wrong: str
    ) -> None:
        walk("route")
        typist = typing("more", wrong, "1")
        assert typist.told(f"“{wrong}” is none of them.")
        assert typist.leaving == "board"

    @pytest.mark.parametrize("word", ["board", "quit"])
    def test_the_job_is_left_with_nothing_lost(self, typing: Type, walk: Walk, word: str) -> None:
        walk("route")
        typist = typing(word)
        assert typist.leaving == word
        assert typist.heard[-1] == (
            "Left: job 20260302-wo-7, now: Route the leads. Everything saved is on the disk."
        )

    def test_the_keys_of_the_screens_are_words_too(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("route")
        typing("F2", "by its key")
        assert journal("noted")["words"] == "by its key"

    def test_help_names_every_word(self, typing: Type, walk: Walk) -> None:
        walk("route")
        typist = typing("?")
        assert typist.told("note: write a note.")
        assert typist.told("give up: end the job without finishing it.")
        assert typist.told("Now, step 28 of 33: Route the leads.")

    @pytest.mark.parametrize("typed", ["7", "nope", "?nope", "rm -rf", "99999999999999", "lok 5"])
    def test_an_unknown_word_gets_one_sentence(
        self, typing: Type, walk: Walk, folder: Path, typed: str
    ) -> None:
        walk("route")
        before = read_job(folder).state.seq
        typist = typing(typed)
        [told] = [line for line in typist.heard if "means nothing here" in line]
        assert told.startswith(f"“{typed.removeprefix('?')}”")
        assert typist.heard[-2].startswith(typist.prompts[0])
        assert read_job(folder).state.seq == before

    def test_a_circuit_that_is_borrowed_tells_at_once_what_its_fuse_bears(
        self, typing: Type, walk: Walk
    ) -> None:
        walk("route")
        [number] = [line.split(".")[0] for line in typing("more").heard if "is borrowed" in line]
        typist = typing("more", number, "dome lamp", "1", "roof", "10", "12")
        assert typist.told("Saved: dome lamp: 12 A added, OVER its fuse of 10 A.")


class TestASecondPerson:
    """A second person answers with their own id, never the one who did the work."""

    def test_who_did_the_work_is_refused_and_somebody_else_is_not(
        self, typing: Type, walk: Walk, journal: Newest
    ) -> None:
        walk("second-look")
        typist = typing("1", "T1", "looked", "S1", "", "1")
        assert typist.told("From the first question again; Enter alone keeps what you typed.")
        assert typist.told("Enter keeps “looked”")
        assert journal("answered")["step"] == "second-look"
        assert journal("answered")["by"] == "S1"


class TestTime:
    """Waits, and time that nobody can account for."""

    def test_the_time_left_is_told_when_asked_again(
        self, typing: Type, walk: Walk, clock: Clock
    ) -> None:
        walk("cure")
        typist = typing("", "")
        assert [line for line in typist.heard if line.endswith(" to go")] == [
            "10:00 to go",
            "09:55 to go",
            "09:50 to go",
        ]

    def test_an_enter_that_asks_for_the_time_never_ends_the_wait(
        self, typing: Type, walk: Walk, folder: Path, clock: Clock
    ) -> None:
        walk("cure")
        clock.move(598)
        typist = typing("1", "")
        assert typist.told("I worked on")
        assert typist.told("00:02 to go")
        assert typist.told("00:00 – the time is over")
        assert read_job(folder).state.current == "cure"
        assert typing("").told("Saved: over")

    def test_waiting_says_one_line_when_the_time_is_over(
        self, typing: Type, walk: Walk, clock: Clock, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        walk("cure")
        monkeypatch.setattr("baycompanion.plain.waiting.sleep", clock.move)
        heard = typing("wait").heard
        begun = next(n for n, line in enumerate(heard) if "Waiting;" in line)
        assert heard[begun + 1] == "The time is over."

    def test_ctrl_c_gives_the_question_back_before_the_time_is_over(
        self, typing: Type, walk: Walk, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def interrupted(seconds: float) -> None:
            raise KeyboardInterrupt

        walk("cure")
        monkeypatch.setattr("baycompanion.plain.waiting.sleep", interrupted)
        typist = typing("wait", "note", "still wet")
        assert typist.told("Not waiting any more: 09:55 to go.")
        assert typist.told("Saved: Note 1 of this job.")

    def test_there_is_nothing_to_wait_for_elsewhere(self, typing: Type, walk: Walk) -> None:
        walk("route")
        assert typing("wait").told("There is no time here to wait for.")

    def test_time_away_is_asked_about_on_return(
        self, typing: Type, walk: Walk, clock: Clock, folder: Path
    ) -> None:
        walk("route")
        clock.move(1800)
        typist = typing("2")
        assert typist.told("Last entry 08:")
        assert typist.told("What were the last 30 min?")
        assert read_job(folder).state.gaps[0][1] == "away"

    def test_a_job_that_was_left_is_taken_over_and_its_time_need_not_be_known(
        self, typing: Type, walk: Walk, clock: Clock, folder: Path
    ) -> None:
        walk("route")
        clock.move(15 * 3600)
        typist = typing("5", "T2", "T1 is ill at home", "S1", "4")
        assert typist.told("T1 had the job for the last 15 h 00 min. What do you know of it?")
        state = read_job(folder).state
        assert (state.technician, state.status) == ("T2", "paused")
        gap, meaning = state.gaps[0]
        assert (gap.of, gap.explained_by, meaning) == ("T1", "T2", "unknown")

    def test_a_laptop_that_slept_is_noticed_and_what_was_typed_is_kept(
        self, shop: Shop, walk: Walk, folder: Path, clock: Clock, journal: Newest
    ) -> None:
        walk("route")

        class Asleep(Typist):
            def ask(self, prompt: str) -> str:
                typed = super().ask(prompt)
                if typed == "done":
                    self.clock.move(20 * 60)
                return typed

        typist = Asleep(clock, deque(["done", "note", "2"]))
        with contextlib.suppress(EOFError):
            walk_job(shop, folder, None, typist, clock)
        assert typist.told("What were the last 20 min?")
        assert typist.told("Answer this first. What you typed before is kept.")
        assert read_job(folder).state.gaps[0][1] == "away"
        assert journal("answered")["step"] == "route"


class TestClosing:
    """The job is closed after one more question, and its record lies there."""

    def test_it_is_closed(self, typing: Type, walk: Walk, folder: Path) -> None:
        walk()
        typist = typing("1", "1", "2", "note", "x", "?back", "board")
        assert typist.told("The job stays open. Go back, or choose “yes, keys back”.")
        assert typist.told("Closed clean.")
        assert typist.told("This job is closed; its record only stands to be read.")
        assert typist.leaving == "board"
        assert (folder / "record.json").is_file()

    def test_bad_ends_are_told(self, typing: Type, walk: Walk) -> None:
        walk(None, back=BAD["back"])
        assert typing().told("It came out: ")


def test_a_trainee_hears_why_without_asking(shop: Shop, clock: Clock) -> None:
    text = SMALL_TEXT.replace("id: ask-amplifier", "id: ask-amplifier\n        why: It decides.")
    heard = []
    for who in (N1, T1):
        folder = make_job(
            shop.jobs, load_procedure(text, "p.yaml"), keys_in("8", who=who, when=clock())
        )
        typist = Typist(clock, deque(["1"]))
        with contextlib.suppress(EOFError):
            walk_job(shop, folder, None, typist, clock)
        heard.append(typist.told("Why: It decides."))
    assert heard == [True, False]


def test_a_station_off_the_grid_is_told_at_once(shop: Shop, clock: Clock) -> None:
    loaded = load_procedure(ON_THE_GRID, "p.yaml")
    folder = make_job(shop.jobs, loaded, keys_in("8", when=clock(), figures={"region": "us"}))
    job = OpenJob(folder, shop.lists, T1, clock())
    job.act(Accept(accept="hazards"), T1, clock())
    while (step := job.state.current) is not None and step != "stations":
        for action in GOOD[step]:
            clock.move(60)
            assert not isinstance(job.act(action, T1, clock()), Refused)
    job.leave()
    typist = Typist(clock, deque(["94.6", "?undo", "94.7", "", "?board"]))
    walk_job(shop, folder, None, typist, clock)
    assert typist.told("the nearest is 94.5 MHz")
    assert read_job(folder).state.track("stations").attempts[-1].answer.entries == ["FM 94.7"]
