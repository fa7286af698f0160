"""A bench with trainees: one did three lamp jobs beside a mentor, drilled and practised."""

from datetime import timedelta

from bench import Bench
from lamp import PROCEDURE, START
from signed_off import STAFF, fill

from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drill.deck import make_deck
from baycompanion.learning.drill.recalls import Recalled
from baycompanion.store.practice import make_practice
from baycompanion.store.recalls import keep_recall
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import open_shop


def with_trainees(bench: Bench) -> None:
    """Fill the shop of `bench`, and set its clock to sixty days later."""
    bench.shop.procedures.mkdir(exist_ok=True)
    (bench.shop.procedures / "lamp.yaml").write_text(PROCEDURE, encoding="utf-8")
    (bench.folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    fill(bench.shop)
    bench.clock.at = START + timedelta(days=60)
    who = bench.shop.person("N1")
    loaded = read_procedure(find_procedure("lamp", bench.shop.procedures))
    make_practice(bench.shop, loaded, who, bench.clock.at, seed=1, faults=1)
    for card in make_deck(loaded.procedure).cards[:6]:
        right = card.gate is None
        recalled = Recalled(
            procedure=card.procedure,
            revision=loaded.procedure.revision,
            card=card.name,
            face=card.face,
            asked=card.kind,
            phase=card.phase,
            gate=card.gate,
            right=right,
            rating="good" if right else "again",
            given=["x"],
            due=write_moment(bench.clock.at),
        )
        keep_recall(bench.folder, who, recalled, bench.clock.at - timedelta(days=1))
