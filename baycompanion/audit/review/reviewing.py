"""A review of shops: what an audit found in them, and a supervisor's word for it, kept at once."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.review.finding_events import people_in
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.audit.rules.gate_overrides import ABOUT_DECISION, MORE_AND_MORE, OFTEN_OVERRIDDEN
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.job.deciding.draft import Person
from baycompanion.store.review import (
    COURSES,
    Decided,
    Decision,
    LookedAt,
    Review,
    decide,
    look_at,
    read_review,
)
from baycompanion.store.settings import SETTINGS
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.staff import NAME as STAFF
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.forms.review_forms import Chosen, Said
from baycompanion.views.forms.signing import PinGiven

Now = Callable[[], datetime]


@dataclass(frozen=True, slots=True)
class GateSeen:
    """How a gate of one shop fared, and what was decided about it."""

    shop: str
    count: GateCount
    decisions: tuple[Decision, ...] = ()

    @property
    def key(self) -> tuple[str, int, str]:
        """Procedure, revision and gate."""
        return self.count.procedure, self.count.revision, self.count.gate


@dataclass
class Reviewing:
    """What was found in `folders`, as far as the audit has come, and what is said of it."""

    folders: Sequence[Path]
    now: Now
    findings: list[Finding] = field(default_factory=list)
    """By weight."""
    shops: list[ShopSeen] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    _reviews: dict[str, Review] = field(default_factory=dict)

    @property
    def many(self) -> bool:
        """Whether there are several shops."""
        return len(self.folders) > 1

    def audit(self, go_on: Callable[[int], bool]) -> bool:
        """Audit every shop anew; return whether it came to its end.

        `go_on` is told how many jobs were looked at, and says whether the rest is wanted.
        """
        findings: list[Finding] = []
        shops: list[ShopSeen] = []
        unread: list[str] = []
        before = 0
        for folder in dict.fromkeys(self.folders):
            wanted = True

            def asked(jobs: int, before: int = before) -> bool:
                nonlocal wanted
                wanted = go_on(before + jobs)
                return wanted

            for found in audit_shop(folder, Choice(), self.now(), Way(trust="stamps"), asked):
                if isinstance(found, Finding):
                    findings.append(found)
                elif isinstance(found, ShopSeen):
                    shops.append(found)
                    before += found.jobs
                else:
                    unread.append(str(found))
            if not wanted:
                return False
        findings.sort(key=lambda finding: finding.place)
        self.findings, self.shops, self.unread = findings, shops, unread
        for shop in shops:  # what was said while the audit ran
            self._read_again(shop.shop)
        return True

    # --- what there is to see --------------------------------------------------------------------

    @property
    def jobs(self) -> int:
        """Jobs that were looked at."""
        return sum(shop.jobs for shop in self.shops)

    @property
    def waiting(self) -> list[Finding]:
        """The findings that nobody has looked at yet."""
        return [finding for finding in self.findings if not self.answered(finding)]

    def answered(self, finding: Finding) -> bool:
        """Return whether somebody looked at `finding`, or decided about its gate since."""
        return finding.looked_at is not None or self.decided(finding) is not None

    def decided(self, finding: Finding) -> Decision | None:
        """Return what was decided about the gate that `finding` asks a decision for, since."""
        gate = self.gate_of(finding) if asks_for_decision(finding) else None
        if gate is None or not gate.decisions:
            return None
        _, _, line = finding.about.partition(ABOUT_DECISION)
        newest = gate.decisions[-1]
        return newest if newest.seq > int(line or 0) else None

    def gates(self) -> Iterator[GateSeen]:
        """Yield every gate with its decisions, shop by shop."""
        for shop in self.shops:
            for count in shop.gates:
                decisions = self._review(shop.shop).decisions
                key = (count.procedure, count.revision, count.gate)
                yield GateSeen(shop.shop, count, tuple(decisions.get(key, ())))

    def gate_of(self, finding: Finding) -> GateSeen | None:
        """Return the gate that `finding` is about; None where it is about none."""
        about, _, _ = finding.about.partition(ABOUT_DECISION)
        for gate in self.gates():
            if gate.shop == finding.shop and gate.count.names == about:
                return gate
        return None

    def about_gate(self, gate: GateSeen) -> list[Finding]:
        """Return the findings about `gate`."""
        return [each for each in self.findings if self.gate_of(each) == gate]

    # --- what is said of it ----------------------------------------------------------------------

    def look(self, finding: Finding, said: Said) -> str | None:
        """Keep that somebody looked at `finding`; return why it cannot be kept, or None."""
        try:
            by = self.prove(finding.shop, said.given)
            looked = LookedAt(
                finding=finding.key,
                rule=finding.rule.id,
                job=finding.job or None,
                about=finding.about or None,
                words=said.words,
                own=by.id in people_in(finding) or None,
            )
            look_at(Path(finding.shop), looked, by, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        self._read_again(finding.shop)
        return None

    def decide(self, gate: GateSeen, chosen: Chosen) -> str | None:
        """Keep what was decided about `gate`; return why it cannot be kept, or None."""
        procedure, revision, name = gate.key
        [course] = [course for course, words in COURSES.items() if words == chosen.course]
        decided = Decided(
            gate=name,
            procedure=procedure,
            revision=revision,
            course=course,
            until=chosen.until,
            words=chosen.words,
        )
        try:
            decide(Path(gate.shop), decided, self.prove(gate.shop, chosen.given), self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        self._read_again(gate.shop)
        return None

    def without_pin(self, shop: str) -> bool:
        """Return whether some supervisor of the shop in the folder `shop` signs by id alone.

        Where it cannot be opened, nobody is held up before they are told so.
        """
        try:
            return _opened(Path(shop)).believes_a_supervisor
        except StoreTrouble:
            return True

    def prove(self, shop: str, given: PinGiven) -> Person:
        """Return the supervisor of the shop in the folder `shop` whose PIN was given.

        Raises:
            StoreTrouble: It is nobody, not a supervisor, retired, or another PIN.
        """
        opened = _opened(Path(shop))
        named = opened.person(given.who)
        if named.role != "supervisor":  # before a PIN is looked at
            raise StoreTrouble(
                f"{named.id} is a {named.role}; only a supervisor has the word here."
            )
        return opened.prove(given.who, given.pin, self.now())

    def _review(self, shop: str) -> Review:
        """Return what was said in one shop; where it cannot be read, the audit has told."""
        if shop not in self._reviews:
            try:
                self._reviews[shop] = read_review(Path(shop))
            except StoreTrouble:
                self._reviews[shop] = Review()
        return self._reviews[shop]

    def _read_again(self, shop: str) -> None:
        """Take in what was said meanwhile, here or in another window."""
        self._reviews.pop(shop, None)
        looked = self._review(shop).looked
        self.findings = [
            replace(each, words=tuple(reversed(looked[each.key])))
            if each.shop == shop and each.key in looked
            else each
            for each in self.findings
        ]


def _opened(folder: Path) -> Shop:
    """Return the shop in `folder`.

    Raises:
        StoreTrouble: It has no staff or settings, or they do not say what they should.
    """
    for name in (STAFF, SETTINGS):  # an audit makes no files in a shop
        if not (folder / name).exists():
            raise StoreTrouble(f"{folder} has no {name}, so nobody there can sign.")
    try:
        return open_shop(folder)
    except BadFile as bad:
        raise StoreTrouble(str(bad).splitlines()[0]) from None


def asks_for_decision(finding: Finding) -> bool:
    """Return whether `finding` is answered by a decision about its gate."""
    return finding.rule in (OFTEN_OVERRIDDEN, MORE_AND_MORE)
