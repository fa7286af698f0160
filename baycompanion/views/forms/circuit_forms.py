"""What is asked about a circuit of the vehicle that is tapped, spliced into or grounded to."""

from collections.abc import Mapping
from decimal import Decimal

from baycompanion.job import actions
from baycompanion.job.state.loads import loads
from baycompanion.job.state.state import State
from baycompanion.procedure.steps import Do
from baycompanion.text.reading import parse_reading
from baycompanion.views.card.card import Deed, Field, Form, Key, Piece

METHODS = ("tap", "splice", "ground")


def borrow_form(method: str = METHODS[0]) -> Form[Deed]:
    """Ask which circuit is borrowed, where and how, behind which fuse, and by how much."""

    def make(given: Mapping[str, str]) -> Deed:
        borrow = actions.Borrow(
            borrow=given["circuit"],
            method=given["method"],
            place=given["place"],
            fuse_a=_amps(given["fuse"]),
            load_a=_amps(given["load"]),
        )
        return Deed(borrow)

    lead = (
        Piece("plain", "The list goes out with the vehicle, for whoever works on it next."),
        Piece("plain", "The circuit's own load comes on top of what is added."),
    )
    fields = (
        Field("circuit", "Circuit, as the vehicle's fuse list calls it"),
        Field("method", "Made as", METHODS, value=method),
        Field("place", "Where on the vehicle"),
        Field("fuse", "Fuse that protects it", hint="in A; empty for a ground", may_be_empty=True),
        Field("load", "Load that it adds", hint="in A; empty for a ground", may_be_empty=True),
    )
    return Form("A circuit is borrowed", fields, make, lead)


def _amps(typed: str) -> Decimal | None:
    return parse_reading(typed, "A").number if typed.strip() else None


def borrow_keys(step: Do) -> tuple[Key, ...]:
    """Return the key that writes down what `step` makes, where it makes something."""
    if step.borrows is None:
        return ()
    return (Key("8", "Write the circuit down…", borrow_form(step.borrows)),)


def give_back_form(state: State) -> Form[Deed] | None:
    """Ask which borrowed circuit is as it was before; None where none is borrowed."""
    kept = {
        f"Circuit {made.number}: {made.circuit}, {made.method} at {made.place}": made.number
        for made in (each.data for each in state.circuits if each.in_use)
    }
    if not kept:
        return None

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.GiveBack(give_back=kept[given["circuit"]], words=given["words"]))

    fields = (
        Field("circuit", "Which circuit", tuple(kept)),
        Field("words", "How it was put back"),
    )
    return Form("Give a circuit back", fields, make)


def load_pieces(state: State) -> tuple[Piece, ...]:
    """Return the load added to each borrowed circuit, one line each; too much of it stands out."""
    return tuple(Piece("bad" if load.over else "plain", str(load)) for load in loads(state))
