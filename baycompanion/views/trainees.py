"""How trainees stand, in words: a line for a list, the whole of one, and what is signed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from baycompanion.learning.drill.schedule import RETENTION
from baycompanion.learning.standing_of import PhaseAgainst, Standing, Times
from baycompanion.text.counted import counted
from baycompanion.text.duration import rough_duration
from baycompanion.text.problem import quoted
from baycompanion.views.card.card import Field, Form, Piece
from baycompanion.views.forms.signing import PinGiven, supervisor_fields

NO_SCORE = (
    "No score gives a release, and none forbids one: whoever signs has watched the work on a "
    "vehicle."
)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list."""

    text: str
    of: Standing | None = None
    """The standing that it opens; None for a heading."""
    begun: bool = True
    """Whether there is anything to say of that procedure; else the line is about the person."""


@dataclass(frozen=True, slots=True)
class SignedOff:
    """What a supervisor typed to sign somebody off, and how they show who they are."""

    job: str
    until: date | None
    words: str
    given: PinGiven


def rows(standings: Sequence[Standing]) -> Iterator[Row]:
    """Yield each trainee with what they have begun; somebody with nothing has a line that says so.

    A procedure that was asked for by name stands there too, begun or not.
    """
    people: dict[str, list[Standing]] = {}
    for each in standings:
        people.setdefault(each.who, []).append(each)
    for who, own in people.items():
        yield Row(who)
        begun = [each for each in own if each.begun] or (own if len(own) == 1 else [])
        for each in begun:
            yield Row(line_of(each), each)
        if not begun:
            yield Row("nothing yet", own[0], begun=False)


def line_of(standing: Standing) -> str:
    """Return how somebody stands with a procedure, in one line: the release, then what is there."""
    watched, drill = len(standing.supervised.jobs), standing.drill
    parts = [f"{short_release(standing):<26}", standing.procedure]
    if watched:
        parts.append(f"{counted(watched, 'watched job')}")
    if standing.practice.jobs:
        parts.append(f"{standing.practice.jobs} practised")
    if drill is not None and drill.retention is not None:
        parts.append(f"drill {drill.retention:.0%}")
    return " · ".join(parts)


def short_release(standing: Standing) -> str:
    """Return whether a release is in force, in two or three words."""
    if standing.release is None:
        return "– with a mentor"
    if standing.not_in_force:
        return "! release not in force"
    return f"✓ released to {standing.release.until}"


def told(row: Row) -> Iterator[Piece]:
    """Yield all that is known behind a line of the list."""
    if row.of is not None:
        yield from large(row.of) if row.begun else nothing_yet(row.of)


def large(standing: Standing) -> Iterator[Piece]:
    """Yield all that is known of how somebody stands with a procedure."""
    revision = f", revision {standing.revision}" if standing.revision is not None else ""
    yield Piece("label", f"{standing.who} · {standing.title} ({standing.procedure}{revision})")
    yield from _release(standing)
    yield from _watched(standing)
    yield from _practised(standing)
    yield from _drilled(standing)
    yield from (Piece("warning", f"Not read: {trouble}") for trouble in standing.unread)
    yield Piece("quiet", NO_SCORE)


def nothing_yet(standing: Standing) -> Iterator[Piece]:
    """Yield what is said of somebody who has begun with nothing."""
    yield Piece("label", standing.who)
    yield Piece("plain", "No drill, no practice, no job and no release so far.")
    yield from (Piece("warning", f"Not read: {trouble}") for trouble in standing.unread)


def _release(standing: Standing) -> Iterator[Piece]:
    release = standing.release
    if release is None:
        yield Piece("plain", "Release: none. Works beside a mentor.")
        return
    if standing.not_in_force:
        yield Piece("bad", f"Release: not in force. {standing.not_in_force}")
    else:
        yield Piece("good", f"Release: in force until {release.until}, without a mentor.")
    yield Piece(
        "plain",
        f"Signed by {release.by} for revision {release.revision}, watched in {release.job}.",
    )


def _watched(standing: Standing) -> Iterator[Piece]:
    seen = standing.supervised
    if not seen.jobs:
        told = "Watched jobs: none. A release rests on one that was closed."
        yield Piece("plain", told)
    else:
        by = ", ".join(f"{number} by revision {each}" for each, number in seen.by_revision.items())
        yield Piece("plain", f"Watched jobs: {by}. The newest is {seen.jobs[0]}.")
        gates = ", ".join(dict.fromkeys(seen.overridden))
        overridden = f"{len(seen.overridden)} ({gates})" if gates else "none"
        yield Piece("plain", f"Faults of the work: {seen.faults}. Gates overridden: {overridden}.")
    if seen.alone:
        yield Piece("plain", f"Jobs that nobody watched: {seen.alone}.")
    if standing.times is not None:
        yield from (Piece("plain", line) for line in _times(standing.times))


def _times(times: Times) -> Iterator[str]:
    if times.silence is not None:
        yield (
            f"Times: not compared. Others closed {counted(times.others, 'job')} by revision "
            f"{times.revision}; it takes {times.silence.needed}."
        )
    elif times.phases:
        yield (
            f"Times by revision {times.revision}, the middle of {counted(times.own, 'job')}; and "
            f"of {counted(times.others, 'job')} of others the middle, and the middle half:"
        )
        yield from (_against(each) for each in times.phases)


def _against(phase: PhaseAgainst) -> str:
    own, low, middle, high = (
        rough_duration(round(each)) for each in (phase.own, phase.lower, phase.middle, phase.upper)
    )
    return f"  {phase.phase}: {own}; others {middle}, {low} to {high}"


def _practised(standing: Standing) -> Iterator[Piece]:
    seen = standing.practice
    if not seen.jobs:
        yield Piece("plain", "Practice: none.")
        return
    told = f"Practice: {seen.jobs}, walked to the end {seen.ended}."
    if seen.ended:
        told += f" Planted faults caught: {seen.caught} of {seen.planted}."
    yield Piece("plain", told)
    if seen.slipped:
        slipped = ", ".join(name.rstrip(".") for name in seen.slipped)
        yield Piece("plain", f"Slipped through: {slipped}.")


def _drilled(standing: Standing) -> Iterator[Piece]:
    seen = standing.drill
    if seen is None:
        yield Piece("plain", "Drill: none.")
        return
    known = ""
    if seen.retention is not None:
        known = f" Likely to be right today: {seen.retention:.0%}."
    yield Piece(
        "plain",
        f"Drill: asked {seen.seen} of {counted(seen.seen + seen.new, 'question')}, "
        f"{seen.due} due now.{known}",
    )
    weak = [f"{gate} {chance:.0%}" for gate, chance in seen.weakest_gates if chance < RETENTION]
    if weak:
        yield Piece("plain", f"Least known gates: {', '.join(weak)}.")


# --- forms --------------------------------------------------------------------------------------


def look_form(without_pin: bool, by: str = "") -> Form[PinGiven]:
    """Ask which supervisor looks; as `supervisor_fields`."""
    lead = (Piece("label", "What is known of people is for supervisors alone."),)
    return Form("Trainees", supervisor_fields(without_pin, by), _pin, lead, accept="Show")


def sign_off_form(standing: Standing, until: date) -> Form[SignedOff]:
    """Ask what is signed of `standing`; `until` is the day that stands in hand."""

    def make(given: Mapping[str, str]) -> SignedOff:
        return SignedOff(given["job"], _day(given["until"]), given["words"], _pin(given))

    newest = next(iter(standing.supervised.jobs), "")
    fields = (
        Field("job", "The job that was watched", value=newest),
        Field("until", "Last day", value=until.isoformat()),
        Field(
            "words",
            "What you watched",
            hint="may stay empty for its mentor or second person",
            may_be_empty=True,
        ),
        *_signed_with(),
    )
    told = f"{standing.who} does {standing.procedure} without a mentor from then on."
    lead = (Piece("label", told),)
    return Form(f"Release {standing.who}", fields, make, lead, accept="Sign")


def take_back_form(standing: Standing) -> Form[PinGiven]:
    """Ask who takes the release of `standing` back."""
    told = f"{standing.who} does {standing.procedure} beside a mentor again."
    lead, title = (Piece("label", told),), f"Take the release of {standing.who} back"
    return Form(title, _signed_with(), _pin, lead, accept="Take back")


def _signed_with() -> tuple[Field, Field]:
    """Return what a supervisor signs with, who must have a PIN here."""
    pin, who = supervisor_fields(without_pin=False)
    return replace(pin, hint="you need one; baycompanion staff pin sets it"), who


def _pin(given: Mapping[str, str]) -> PinGiven:
    return PinGiven(given["who"], given["pin"])


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise ValueError(f"{quoted(text)} is no date. Type it like 2026-09-30.") from None
