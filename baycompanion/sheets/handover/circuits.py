"""The register of borrowed circuits, with the load on each against its fuse."""

from baycompanion.job.record.vehicle import CircuitRecord, LoadRecord
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source


def circuits(source: Source) -> Section | None:
    """Return every tap, splice and ground made on the vehicle, for whoever works on it next."""
    made = source.record.circuits
    if not made:
        return None
    return Section(
        "Circuits of the vehicle that the new equipment uses",
        says=tuple(map(_load, source.record.loads)),
        table=Table(
            ("Circuit", "Made as", "Where", "Its fuse", "Load added"),
            tuple(_row(source, each) for each in made),
        ),
        wide=True,
    )


def _row(source: Source, circuit: CircuitRecord) -> tuple[str, ...]:
    back = ""
    if circuit.given_back_at is not None:
        at_by = f"{circuit.given_back_by}, {source.moment(circuit.given_back_at)}"
        back = f" – given back: {circuit.given_back_words} ({at_by})"
    return (
        f"{circuit.circuit}{back}",
        circuit.method,
        circuit.place,
        f"{circuit.fuse_a} A" if circuit.fuse_a is not None else "–",
        f"{circuit.load_a} A" if circuit.load_a is not None else "–",
    )


def _load(load: LoadRecord) -> str:
    if load.fuse_a is None:
        return f"{load.circuit}: {load.added_a} A added in all; its fuse is not written down."
    word = "OVER" if load.over else "within"
    return f"{load.circuit}: {load.added_a} A added in all, {word} its fuse of {load.fuse_a} A."
