"""The review: how the gates fared, what an audit found, and a supervisor's word for it."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from baycompanion.audit.findings import Finding
from baycompanion.audit.review.finding_events import job_events, job_folder, people_in
from baycompanion.audit.review.histories import gate_history, person_history, procedure_history
from baycompanion.audit.review.reviewing import GateSeen, Reviewing, asks_for_decision
from baycompanion.audit.review.rows import Row, Shown, large, rows
from baycompanion.job.state.fold import fold_all
from baycompanion.screens.form.form import ask
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.screens.menu import offer_more
from baycompanion.screens.page import Page
from baycompanion.screens.shown import pieces
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Piece
from baycompanion.views.forms.review_forms import decide_form, looked_form, person_form
from baycompanion.views.forms.signing import PinGiven

TOLD_EVERY = 10
"""Jobs after which the progress is told anew."""


class Audited(Message, bubble=False):
    """The audit has come to its end, or so far."""

    def __init__(self, jobs: int, done: bool) -> None:
        super().__init__()
        self.jobs = jobs
        self.done = done


class HistoryRead(Message, bubble=False):
    """A person's history was read."""

    def __init__(self, who: str, told: Sequence[Piece]) -> None:
        super().__init__()
        self.who = who
        self.told = told


class ReviewScreen(Screen[None]):
    """Lists gates and findings, and shows the one in hand large."""

    CSS_PATH = "review.tcss"
    AUTO_FOCUS = "#rows"
    BINDINGS = [
        Binding("l", "looked", "Looked at", id="review.looked"),
        Binding("d", "decide", "Decide", id="review.decide"),
        Binding("h", "history", "History", id="review.history"),
        Binding("p", "person", "Person", id="review.person"),
        Binding("t", "timeline", "Timeline", id="review.timeline"),
        Binding("c", "phases", "Times", id="review.phases"),
        Binding("o", "only", "Only open", id="review.only"),
        Binding("g", "gates", "All gates", show=False, id="review.gates"),
        Binding("r", "again", "Again", show=False, id="review.again"),
        Binding("pageup", "scroll_large(-1)", show=False, priority=True, id="review.pageup"),
        Binding(
            "pagedown,space", "scroll_large(1)", show=False, priority=True, id="review.pagedown"
        ),
        Binding("f1", "help", "Help", id="review.help"),
        Binding("f9", "more", "More", id="review.more"),
        Binding("q,escape", "back", "Back", id="review.back"),
    ]

    def __init__(self, folders: Sequence[Path], now: Callable[[], datetime]) -> None:
        """Review the shops in `folders`; `now` is the clock."""
        super().__init__()
        self._reviewing = Reviewing(folders, now)
        self._how = Shown()
        self._rows: list[Row] = []
        self._auditing = True

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static("REVIEW", id="review-title", markup=False)
        with Horizontal(id="review-parts"):
            yield Listing(id="rows", compact=True)
            with VerticalScroll(id="large", can_focus=False):
                yield Static("", id="large-text")
        yield Static("", id="review-message", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Audit once the first frame stands, so that nobody waits for it."""
        self.call_after_refresh(self.action_again)

    # --- auditing --------------------------------------------------------------------------------

    def action_again(self) -> None:
        """Audit anew, in a thread; what stands there stays until it is done."""
        self._auditing = True
        self._title()
        self.run_worker(self._audit, thread=True, exclusive=True, group="audit")

    def _audit(self) -> None:
        worker = get_current_worker()

        def go_on(jobs: int) -> bool:
            if jobs % TOLD_EVERY == 0 and not worker.is_cancelled:
                self.post_message(Audited(jobs, False))
            return not worker.is_cancelled

        if self._reviewing.audit(go_on):
            self.post_message(Audited(self._reviewing.jobs, True))

    @on(Audited)
    def _audited(self, event: Audited) -> None:
        if event.done:
            self._auditing = False
            self._list()
            self._say(" ".join(self._reviewing.unread[:2]))
        else:
            self._title(event.jobs)

    def _title(self, jobs: int = 0) -> None:
        """Say how far the audit is with its jobs, or what came of it."""
        seen = self._reviewing
        if self._auditing:
            told = f"REVIEW · auditing, {jobs} jobs so far …"
        else:
            told = (
                f"REVIEW · {seen.jobs} jobs · {len(seen.findings)} findings, "
                f"{len(seen.waiting)} not looked at yet"
            )
            told += f" · {len(seen.unread)} not read" if seen.unread else ""
        self.query_one("#review-title", Static).update(told)

    # --- showing ---------------------------------------------------------------------------------

    def _list(self) -> None:
        """Show the rows anew, and keep the place among them."""
        listed = self.query_one("#rows", OptionList)
        kept, at = self._in_hand, listed.highlighted
        self._rows = list(rows(self._reviewing, self._how))
        listed.clear_options()
        listed.add_options(Option(_line(row), disabled=row.of is None) for row in self._rows)
        listed.highlighted = self._place_of(kept, at)
        self._title()
        self._show()

    def _place_of(self, kept: GateSeen | Finding | None, at: int | None) -> int | None:
        """Return where `kept` stands now, or what stands nearest to the place `at`."""
        open_rows = [n for n, row in enumerate(self._rows) if row.of is not None]
        same = [n for n in open_rows if kept is not None and _same(self._rows[n].of, kept)]
        nearest = [n for n in open_rows if at is not None and n >= at]
        return next(iter((*same, *nearest, *open_rows[-1 if nearest or at else 0 :])), None)

    @property
    def _in_hand(self) -> GateSeen | Finding | None:
        at = self.query_one("#rows", OptionList).highlighted
        return self._rows[at].of if at is not None and at < len(self._rows) else None

    @on(OptionList.OptionHighlighted, "#rows")
    def _highlighted(self) -> None:
        self._show()

    def _show(self) -> None:
        of = self._in_hand
        told = list(large(self._reviewing, of)) if of is not None else []
        self.query_one("#large-text", Static).update(pieces(told))
        self.query_one("#large").scroll_home(animate=False)
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Show a key only where it does something."""
        of = self._in_hand if self.is_mounted else None
        if action == "looked":
            return isinstance(of, Finding)
        if action == "decide":
            return isinstance(of, GateSeen) or (of is not None and asks_for_decision(of))
        if action == "history":
            return self._gate is not None or (isinstance(of, Finding) and bool(of.job))
        if action in ("person", "timeline"):
            return isinstance(of, Finding) and bool(of.job)
        return True

    @property
    def _gate(self) -> GateSeen | None:
        """The gate in hand, or the one that the finding in hand is about."""
        of = self._in_hand if self.is_mounted else None
        return self._reviewing.gate_of(of) if isinstance(of, Finding) else of

    def _say(self, message: str) -> None:
        self.query_one("#review-message", Static).update(message)

    # --- keys ------------------------------------------------------------------------------------

    def action_looked(self) -> None:
        """Ask for a supervisor's word for the finding in hand."""
        finding = self._in_hand
        if isinstance(finding, Finding):
            form = looked_form(finding.sentence, self._reviewing.without_pin(finding.shop))
            ask(self.app, form, lambda said: self._reviewing.look(finding, said), self._kept)

    def action_decide(self) -> None:
        """Ask what is done about the gate in hand."""
        gate = self._gate
        if gate is not None:
            form = decide_form(gate.count.names, self._reviewing.without_pin(gate.shop))
            ask(self.app, form, lambda chosen: self._reviewing.decide(gate, chosen), self._kept)

    def _kept(self) -> None:
        self._list()
        self._say("Kept. No record was touched.")

    def action_history(self) -> None:
        """Show how a gate, or else a procedure, fared in each revision, and what was said."""
        gate = self._gate
        if gate is not None:
            name = f"{gate.count.gate} of {gate.count.procedure}"
            self._page(f"History of the gate {name}", gate_history(self._reviewing, gate))
            return
        finding = self._in_hand
        if isinstance(finding, Finding) and finding.job:
            told = procedure_history(self._reviewing, finding)
            self._page("History of the procedure of this job", told)

    def action_timeline(self) -> None:
        """Show the hours of the job in hand, and what happened when."""
        finding = self._in_hand
        folder = job_folder(finding) if isinstance(finding, Finding) else None
        if folder is None:
            return
        try:
            events, procedure = job_events(folder)
        except StoreTrouble as trouble:
            self._say(str(trouble))
            return
        if procedure is None:
            self._say("The procedure of this job cannot be read, and its timeline hangs on it.")
            return
        from baycompanion.screens.job.timeline import TimelineScreen

        self.app.push_screen(TimelineScreen(procedure, events, fold_all(events)))

    def action_phases(self) -> None:
        """Show how long phases took in the shop of what is in hand."""
        from baycompanion.screens.looking_back.phase_times import PhaseTimesScreen

        of = self._in_hand
        shop = Path(of.shop) if of is not None else self._reviewing.folders[0]
        self.app.push_screen(PhaseTimesScreen(shop))

    def action_person(self) -> None:
        """Show a person's history to a supervisor; gates come first."""
        finding = self._in_hand
        if not isinstance(finding, Finding):
            return
        people = people_in(finding)
        if not people:
            self._say("Nobody stands behind this in a journal that can be read.")
            return
        asked: list[str] = []

        def take(given: tuple[str, PinGiven]) -> str | None:
            try:
                self._reviewing.prove(finding.shop, given[1])
            except StoreTrouble as trouble:
                return str(trouble)
            asked.append(given[0])
            return None

        def proven() -> None:
            self._say("Reading the journals …")
            read = partial(self._read_history, finding.shop, asked[-1])
            self.run_worker(read, thread=True, exclusive=True, group="history")

        form = person_form(people, self._reviewing.without_pin(finding.shop))
        ask(self.app, form, take, proven)

    def _read_history(self, shop: str, who: str) -> None:
        """Read every journal of the shop, in a thread."""
        worker = get_current_worker()
        told: list[Piece] = []
        for piece in person_history(self._reviewing, shop, who):
            if worker.is_cancelled:
                return
            told.append(piece)
        self.post_message(HistoryRead(who, told))

    @on(HistoryRead)
    def _history_read(self, event: HistoryRead) -> None:
        self._say("")
        if self.is_current:  # else the person has gone on to something else
            self._page(f"{event.who}: what stands in the journals; no score", event.told)

    def _page(self, head: str, told: Iterable[Piece]) -> None:
        title = Piece("label", f"{head}  (arrows read on)")
        self.app.push_screen(Page(pieces([title, *told])))

    def action_only(self) -> None:
        """Show only what nobody has looked at yet, or everything again."""
        self._how = replace(self._how, all_findings=not self._how.all_findings)
        self._list()
        self._say("" if self._how.all_findings else "Only what nobody has looked at yet.")

    def action_gates(self) -> None:
        """Show every gate, or only those that held somebody up or were overridden."""
        self._how = replace(self._how, all_gates=not self._how.all_gates)
        self._list()

    def action_scroll_large(self, by: int) -> None:
        """Read on by a page, or back."""
        large_part = self.query_one("#large")
        large_part.scroll_relative(y=by * max(1, large_part.size.height - 1), animate=False)

    @property
    def more(self) -> Sequence[tuple[str, str]]:
        """What the menu offers, and the action of each."""
        gates = "Only gates that held or were overridden" if self._how.all_gates else "Every gate"
        return (gates, "gates"), ("Audit anew", "again"), ("Light or dark", "ground")

    def action_more(self) -> None:
        """Offer what has no room among the keys."""
        offer_more(self, self.more)

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_help(self) -> None:
        """Say what the keys do."""
        keys = [
            Content.assemble((f"{key:<8}", "bold $label-word"), f"{does}\n") for key, does in _KEYS
        ]
        head = Content.styled("Keys of the review\n", "bold")
        self.app.push_screen(Page(Content.assemble(head, *keys)))

    def action_back(self) -> None:
        """Go back to where this was asked for."""
        self.dismiss()


_KEYS = (
    ("arrows", "the gates first, then the findings by weight"),
    ("PgDn", "read on in the one in hand"),
    ("L", "looked at: a supervisor's word for it; it stays a finding"),
    ("D", "decide about the gate: mend it, train, accept it until a day"),
    ("H", "history of the gate, or of the procedure, by revision, with decisions"),
    ("T", "the timeline of the job: phases, pauses, gates, overrides"),
    ("C", "how long each phase took in the shop, as charts"),
    ("P", "a person's history, for a supervisor; no score"),
    ("O", "only what nobody has looked at yet, or everything"),
    ("G", "every gate, or only those that held somebody up or were overridden"),
    ("R", "audit anew"),
    ("F9", "more: every gate, audit anew, light or dark"),
    ("Esc, Q", "back"),
)


def _line(row: Row) -> Content:
    if row.of is None:
        return Content.styled(row.text, "bold $label-word")
    done = isinstance(row.of, Finding) and row.text.startswith("✓")
    return Content.styled(f" {row.text}", "$good-word" if done else "")


def _same(one: GateSeen | Finding | None, other: GateSeen | Finding) -> bool:
    """Return whether both are the same gate, or the same finding, before and after a word."""
    if isinstance(one, Finding) and isinstance(other, Finding):
        return (one.shop, one.key) == (other.shop, other.key)
    if isinstance(one, GateSeen) and isinstance(other, GateSeen):
        return (one.shop, one.key) == (other.shop, other.key)
    return False
