"""Starting a practice: what is asked, which vehicle is made up, one that was left unfinished."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from random import SystemRandom

from baycompanion.job.actions import Abandon
from baycompanion.job.deciding.draft import Person
from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.learning.practice.vehicle import make_vehicle
from baycompanion.procedure.load import Loaded
from baycompanion.procedure.model import Procedure
from baycompanion.store.job.folder import refuse_errors
from baycompanion.store.practice import list_practice, make_practice, open_practice, practice_folder
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted
from baycompanion.views.card.card import First, Form
from baycompanion.views.forms.practice_forms import (
    ONE_PHASE,
    phase_form,
    start_form,
    unfinished_form,
)
from baycompanion.working.practice.one_phase import has_phase, seed_for
from baycompanion.working.practice.practising import AtPractice

HIGHEST_SEED = 9999
"""Seeds that are drawn; short enough to be told to somebody who is to have the same vehicle."""

Asked = Mapping[str, str]
"""What was typed about a practice, by the fields of the form; `phase` may be among it."""


def draw_seed() -> int:
    """Return a seed that nobody knows beforehand."""
    return SystemRandom().randint(1, HIGHEST_SEED)


@dataclass(slots=True)
class PracticeStarting:
    """One practice that is being started, or gone on with."""

    shop: Shop
    now: Callable[[], datetime]
    seeds: Callable[[], int] = draw_seed
    practice: AtPractice | None = None
    """The practice, once it is open."""
    phase: str = ""
    """The one phase that was chosen."""
    left: str = ""
    """What becomes of one that was left unfinished: to be gone on with, or given up."""

    def form(self, asked: Asked) -> Form[Asked]:
        """Return the questions that every practice begins with; what was `asked` stands in them."""
        procedures = tuple(list_procedures(self.shop.procedures))
        return start_form(procedures, tuple(self.shop.staff), asked)

    def take(self, asked: Asked) -> First | None:
        """Make the practice and open it, or return what has to be answered before.

        Raises:
            StoreTrouble: Something that was typed leads nowhere, or the disk refuses.
            BadFile: The procedure has errors.
            ValueError: The seed is no number.
        """
        loaded = read_procedure(find_procedure(asked["procedure"], self.shop.procedures))
        who = self.shop.person(asked["by"])
        unfinished = self._unfinished(loaded, who)
        if unfinished is not None and not self.left:
            title = _phase_title(loaded.procedure, unfinished.phase)
            return First(unfinished_form(unfinished, title), self._decide)
        if unfinished is not None:
            folder = practice_folder(self.shop.folder, who.id) / unfinished.id
            left, self.left = self.left, ""
            if left == "go on":
                self.practice = AtPractice(self.shop, folder, self.now)
                return None
            give_up(folder, who, self.now())
        phase = self._phase(loaded.procedure, asked)
        if phase is None:
            return First(phase_form(loaded.procedure), self._choose_phase)
        self._make(loaded, who, asked, phase)
        return None

    def _make(self, loaded: Loaded, who: Person, asked: Asked, phase: str) -> None:
        faults = int(asked["faults"])
        seed = self._seed(loaded.procedure, asked.get("seed", ""), phase, faults)
        folder = make_practice(
            self.shop, loaded, who, self.now(), seed, faults, phase if phase else None
        )
        self.practice = AtPractice(self.shop, folder, self.now)

    def _unfinished(self, loaded: Loaded, who: Person) -> PracticeSummary | None:
        """Return the newest practice of that procedure by `who` that has not ended."""
        return next(
            (
                each
                for each in list_practice(self.shop.folder, who.id)
                if each.ended_at is None and each.procedure == loaded.procedure.procedure
            ),
            None,
        )

    def _decide(self, left: str) -> str | None:
        self.left = left
        return None

    def _phase(self, procedure: Procedure, asked: Asked) -> str | None:
        """Return the phase that is practised alone, empty for all; None while it is to be chosen.

        Raises:
            StoreTrouble: The procedure has no phase of that name.
        """
        named = asked.get("phase", "") or self.phase
        _refuse_unknown(procedure, named)
        if not named and asked.get("what") == ONE_PHASE:
            return None
        return named

    def _choose_phase(self, phase: str) -> str | None:
        self.phase = phase
        return None

    def _seed(self, procedure: Procedure, typed: str, phase: str, faults: int) -> int:
        if typed.strip():
            seed = _read_seed(typed.strip())
            if phase and not has_phase(procedure, make_vehicle(procedure, seed, faults), phase):
                title = procedure.phase_named[phase].title
                raise StoreTrouble(f"The vehicle of seed {seed} has no “{title}”. Leave it empty.")
            return seed
        return seed_for(procedure, phase, faults, self.seeds) if phase else self.seeds()


def check_asked(shop: Shop, asked: Asked) -> None:
    """Refuse what was `asked` in full and leads nowhere, before anything is made or opened.

    Raises:
        StoreTrouble: There is no such procedure, it cannot be read, or it has no such phase.
        BadFile: The procedure has errors.
    """
    loaded = read_procedure(find_procedure(asked["procedure"], shop.procedures))
    refuse_errors(loaded)
    _refuse_unknown(loaded.procedure, asked.get("phase", ""))


def _refuse_unknown(procedure: Procedure, phase: str) -> None:
    if phase and phase not in procedure.phase_named:
        known = nearest(phase, procedure.phase_named)
        said = quoted(clean_line(phase))
        raise StoreTrouble(f"{procedure.procedure} has no phase {said}. {known}")


def _read_seed(typed: str) -> int:
    if not typed.isdecimal() or len(typed) > 9:
        raise ValueError("A seed is a whole number of at most 9 digits, like 42")
    return int(typed)


def _phase_title(procedure: Procedure, phase: str | None) -> str:
    named = procedure.phase_named.get(phase or "")
    return named.title if named is not None else ""


def give_up(folder: Path, who: Person, when: datetime) -> None:
    """End the practice in `folder` unfinished.

    Raises:
        StoreTrouble: Somebody has it open, or the disk refuses.
        BadFile: The pinned procedure cannot be read any more.
    """
    job = open_practice(folder, who, when)
    try:
        job.act(Abandon(abandon="Given up for a new practice."), who, when)
    finally:
        job.leave()
