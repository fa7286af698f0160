"""What is written down at the end of the sheet, with rows to go on."""

from baycompanion.job.state.state import Circuit, Fault, Pause
from baycompanion.sheets.form import Source, Table
from baycompanion.sheets.words import moment

BLANK_ROWS = 6


def tables(source: Source) -> tuple[Table, ...]:
    """Return the faults, the circuits, the notes and the pauses of the job so far."""
    state, number = source.state, source.procedure.number
    blank_rows = BLANK_ROWS if state.ended_at is None else 0
    return (
        Table(
            "Faults",
            ("No.", "Step", "Found wrong", "Vehicle or our work", "At, by", "Cleared: how, at, by"),
            tuple(_fault(source, fault) for fault in state.faults),
            blank_rows,
        ),
        Table(
            "Borrowed circuits",
            ("No.", "Step", "Circuit", "Made as", "Where", "Fuse A", "Load A", "At, by"),
            tuple(_circuit(source, circuit) for circuit in state.circuits),
            blank_rows,
        ),
        Table(
            "Notes",
            ("Step", "Note", "At, by"),
            tuple(
                (_step(number, note.step), note.words, _at_by(source, note.at, note.by))
                for note in state.notes
            ),
            blank_rows,
        ),
        Table(
            "Pauses and changes of hands",
            ("At, by", "Reason", "Loose, open or live", "First on return", "Back at, by"),
            tuple(_pause(source, pause) for pause in state.pauses),
            blank_rows,
        ),
    )


def _circuit(source: Source, circuit: Circuit) -> tuple[str, ...]:
    data = circuit.data
    back = f", given back: {circuit.given_back_words}" if not circuit.in_use else ""
    return (
        str(data.number),
        _step(source.procedure.number, data.step),
        f"{data.circuit}{back}",
        data.method,
        data.place,
        data.fuse_a or "",
        data.load_a or "",
        _at_by(source, circuit.at, circuit.by),
    )


def _fault(source: Source, fault: Fault) -> tuple[str, ...]:
    cleared = ""
    if fault.cleared_at is not None:
        at_by = _at_by(source, fault.cleared_at, fault.cleared_by or "")
        cleared = f"{fault.cleared_words}, {at_by}"
    return (
        str(fault.number),
        _step(source.procedure.number, fault.step),
        fault.words,
        "our work" if fault.cause == "work" else "vehicle",
        _at_by(source, fault.at, fault.by),
        cleared,
    )


def _pause(source: Source, pause: Pause) -> tuple[str, ...]:
    handed = f", handed to {pause.handed_to}: {pause.handed_words}" if pause.handed_to else ""
    read_back = f": {pause.read_back}" if pause.read_back else ""
    ended = _at_by(source, pause.ended_at, pause.ended_by or "") if pause.ended_at else ""
    return (
        _at_by(source, pause.since, pause.by),
        f"{pause.data.reason}{handed}",
        pause.data.loose,
        pause.data.first,
        f"{ended}{read_back}",
    )


def _step(number: dict[str, int], step: str | None) -> str:
    return str(number[step]) if step in number else ""


def _at_by(source: Source, at: str, by: str) -> str:
    return f"{moment(source, at)}, {by}"
