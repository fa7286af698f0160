"""The bay board line by line: the jobs with a number each, and a way to start one."""

from dataclasses import dataclass, field
from pathlib import Path

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.kinds import Opened
from baycompanion.job.record.past_job import PastJob
from baycompanion.plain.form import ask_form
from baycompanion.plain.job import Now, walk_job
from baycompanion.plain.only_reading import read_only
from baycompanion.plain.reading import read_board_row
from baycompanion.plain.sums import work_sum
from baycompanion.plain.talk import Leaving
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import (
    AT_THE_BOARD,
    Said,
    find_word,
    marked,
    no_meaning,
    read_help,
    read_number,
)
from baycompanion.store.job.folder import JobListed, list_jobs, read_job
from baycompanion.store.job.journal import NAME, read_ends
from baycompanion.store.job.past_times import past_of
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.board.board import board_row, due_line, ended_line
from baycompanion.views.board.finding import (
    ELSE_TO_COME_BACK,
    ELSE_TO_FIND,
    came_back_form,
    find_form,
)
from baycompanion.views.board.line import MOST_ENDED
from baycompanion.views.card.card import Form
from baycompanion.views.forms.job_forms import vehicle_form
from baycompanion.working.board.due_today import due_today
from baycompanion.working.board.entering import mend_ledger
from baycompanion.working.board.finding import Finding
from baycompanion.working.only_reading import OnlyReading
from baycompanion.working.start import Starting

QUESTION = "A number to open a job, new, find, again, quit, or ? for help:"


@dataclass
class Board:
    """The board of one shop, and the job that was opened from it last."""

    shop: Shop
    lines: Lines
    now: Now
    opened: Path | None = None
    numbered: list[Path] = field(default_factory=list)
    """The jobs that were read last, in the order of their numbers."""
    under_way: int = 0
    """How many of them are under way; they come first."""
    past: dict[str, tuple[PastJob, ...]] = field(default_factory=dict)
    """Ended jobs by procedure, read once for each that is under way."""
    only_read: bool = False
    """Whether a job could only be read when it was opened last."""

    def walk(self) -> None:
        """Read the board and do what is typed, until the person leaves.

        Raises:
            EOFError: The input is at its end.
        """
        say_all(self.lines, filter(None, [mend_ledger(self.shop, self.now())]))
        self.read()
        while self._obey(self.lines.ask(QUESTION)) != "quit":
            pass

    def walk_from(self, folder: Path, who: Person | None) -> None:
        """Walk through the job in `folder` first, and go to the board from there.

        Raises:
            StoreTrouble: The job can neither be opened nor read.
            BadFile: The procedure that it began with cannot be read any more.
            EOFError: The input is at its end.
        """
        self.opened = folder
        if self._walk_or_read(folder, who) == "board":
            self.walk()

    # --- reading -------------------------------------------------------------------------------

    def read(self) -> None:
        """Read all jobs, those under way first."""
        listed = list(list_jobs(self.shop.jobs))
        jobs = [job for job in listed if isinstance(job, JobListed)]
        under_way = [job for job in jobs if job.status == "under way"]
        ended = [job for job in jobs if job.status != "under way"][:MOST_ENDED]
        self.numbered = [job.folder for job in (*under_way, *ended)]
        self.under_way = len(under_way)
        self.lines.say(f"Bay board of {self.shop.name}. Jobs under way: {len(under_way)}.")
        new = {job.opened.procedure for job in under_way} - self.past.keys()
        self.past |= past_of(self.shop.jobs, new)
        for number, job in enumerate(under_way, 1):
            self.lines.say(self._under_way(number, job))
        due = due_today(self.shop, self.now())
        say_all(self.lines, (f"{due_line(who, number)}." for who, number in due.items()))
        if ended:
            self.lines.say("Ended lately:")
        for number, job in enumerate(ended, len(under_way) + 1):
            self.lines.say(f"{number}. {ended_line(job.opened, job.opened_at, job.standing)}")
        say_all(self.lines, (str(job) for job in listed if isinstance(job, StoreTrouble)))

    def _under_way(self, number: int, job: JobListed) -> str:
        try:
            read = read_job(job.folder)
        except (StoreTrouble, BadFile) as trouble:
            return f"{number}. {job.job}: {str(trouble).splitlines()[0]}"
        alike = self.past.get(read.state.opened.procedure, ())
        row = board_row(read.procedure, read.state, self.now(), alike)
        return read_board_row(number, row)

    # --- doing ---------------------------------------------------------------------------------

    def _obey(self, typed: str) -> str | None:
        """Do what was typed; return `quit` where the person leaves the program."""
        number = read_number(typed)
        if number is not None and 1 <= number <= len(self.numbered):
            return self._open(self.numbered[number - 1])
        if number is not None:
            self.lines.say(f"There is no job {number}. Type a number that was read.")
            return None
        said = find_word(_word(typed), AT_THE_BOARD)
        if said is None:
            self.lines.say(no_meaning(typed))
            return None
        return self._say(said)

    def _say(self, said: Said) -> str | None:
        if said.name == "new":
            return self._start()
        if said.name == "came back":
            return self._came_back(said.rest)
        if said.name == "help":
            say_all(self.lines, ["A number opens its job.", *read_help(AT_THE_BOARD)])
        elif said.name == "find":
            self._find(said.rest, find_form(), ELSE_TO_FIND)
        elif said.name == "sum":
            work_sum(self.lines, self.shop.figures, said.rest, None)
        elif said.name == "review":
            self._review()
        elif said.name == "learn":
            self._learn()
        elif said.name == "practise":
            return self._practise()
        elif said.name == "again":
            self.read()
        return said.name

    def _learn(self) -> None:
        """Be drilled, until the person comes back."""
        from baycompanion.plain.learning import PlainLearning  # with the scheduler

        PlainLearning(self.shop, self.lines, self.now).walk()
        self.read()

    def _review(self) -> None:
        """Read what an audit finds, until the person comes back."""
        from baycompanion.audit.review.reviewing import Reviewing  # with the audit, and only here
        from baycompanion.plain.review import PlainReview

        PlainReview(Reviewing([self.shop.folder], self.now), self.lines, "the board").walk()
        self.read()

    def _practise(self) -> str | None:
        """Ask what is practised, and walk it until the person comes back or leaves."""
        from baycompanion.plain.practice import begin_by_lines  # few who come here practise

        leaving = begin_by_lines(self.shop, self.lines, self.now, {}, in_full=False)
        if leaving == "board":
            self.read()
        return leaving

    def _start(self) -> str | None:
        """Ask for a new job, make it, and open it."""
        starting = Starting(self.shop, self.now)
        try:
            form = starting.form()
        except StoreTrouble as trouble:  # the procedures cannot be looked through
            self.lines.say(str(trouble))
            return None
        ask_form(self.lines, form, starting.take)
        return self._walk(starting.folder, starting.who) if starting.folder else None

    def _came_back(self, typed: str) -> str | None:
        """Ask for a job on the vehicle of the ended job of that number, and open it.

        What is no number that was read is a part of a plate, a VIN or a work order.
        """
        number = read_number(typed)
        if number is None or not 1 <= number <= len(self.numbered):
            self._find(typed, came_back_form(), ELSE_TO_COME_BACK)
            return None
        if number <= self.under_way:
            under_way = f"Job {number} is under way, and a vehicle comes back from an ended one."
            self.lines.say(f"{under_way} Type came back alone to find that.")
            return None
        starting = Starting(self.shop, self.now)
        try:
            form = starting.comeback_form(self.numbered[number - 1])
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            return None
        ask_form(self.lines, form, starting.take)
        return self._walk(starting.folder, starting.who) if starting.folder else None

    def _find(self, sought: str, form: Form[str], otherwise: str) -> None:
        """Read the ended jobs that `sought` fits, or ask `form` for it; each gets a number.

        One that was read before keeps its number.
        """
        finding = Finding(self.shop.jobs, otherwise)
        if not sought:
            if not ask_form(self.lines, form, finding.take):
                return
        elif why_not := finding.take(sought):
            self.lines.say(why_not)
            return
        self.lines.say(f"{finding.title}.")
        for line in finding.lines:
            folder = self.shop.jobs / line.opens
            if folder not in self.numbered:
                self.numbered.append(folder)
            told = f" · {line.told}" if line.told else ""
            self.lines.say(f"{self.numbered.index(folder) + 1}. {line.text}{told}")
        say_all(self.lines, filter(None, [finding.more]))
        self.lines.say("A number opens one to be read; came back and its number begins a comeback.")

    def _open(self, folder: Path) -> str | None:
        """Open a job; name the vehicle and ask first, where another one was in front before.

        A job that takes no more entries is only looked at: the vehicle in front stays the same.
        """
        if self.opened in (None, folder):
            return self._walk(folder)
        try:
            first, end = read_ends(folder / NAME)
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            return None
        if not end.takes_more:
            in_front = self.opened
            leaving = self._walk(folder)
            self.opened = in_front
            return leaving
        opened = first.data
        assert isinstance(opened, Opened)
        form = vehicle_form(opened.work_order, opened.vehicle.description)
        if ask_form(self.lines, form, lambda _: None):
            return self._walk(folder)
        return None

    def _walk(self, folder: Path, who: Person | None = None) -> str | None:
        """Walk through a job, or say why it cannot be opened; read the board again after it."""
        try:
            leaving = self._walk_or_read(folder, who)
        except (StoreTrouble, BadFile) as trouble:
            self.lines.say(str(trouble).splitlines()[0])
            return None
        if not self.only_read:  # read, it was not in hand
            self.opened = folder
        if leaving == "board":
            self.read()
        return leaving

    def _walk_or_read(self, folder: Path, who: Person | None) -> Leaving:
        """Walk through a job; one that cannot be opened is read, as much of it as can be.

        Raises:
            StoreTrouble, BadFile: Not even that can be done; it is what opening it said.
        """
        while True:
            try:
                self.only_read = False
                return walk_job(self.shop, folder, who, self.lines, self.now)
            except (StoreTrouble, BadFile) as trouble:
                self.only_read = True
                leaving = read_only(self._reading(folder, trouble), self.lines)
            if leaving != "open":
                return leaving

    def _reading(self, folder: Path, trouble: StoreTrouble | BadFile) -> OnlyReading:
        try:
            return OnlyReading(self.shop, folder, trouble, self.now)
        except (StoreTrouble, BadFile):
            raise trouble from None


def _word(typed: str) -> str:
    """Return the word of the program that `typed` may be; Enter alone reads the board again."""
    word = marked(typed)
    return typed or "again" if word is None else word or "help"
