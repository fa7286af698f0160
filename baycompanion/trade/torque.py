"""Torque: what a screw bears by its size and class, where its maker gives no figure."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from baycompanion.trade.circle import circle_area
from baycompanion.trade.model import Inputs, Number, Result, Takes, Verdict, plain

PITCH_MM = {
    Decimal(size): Decimal(pitch)
    for size, pitch in (
        *(("1.6", "0.35"), ("2", "0.4"), ("2.5", "0.45"), ("3", "0.5"), ("3.5", "0.6")),
        *(("4", "0.7"), ("5", "0.8"), ("6", "1"), ("7", "1"), ("8", "1.25"), ("10", "1.5")),
        ("12", "1.75"),
    )
}
"""Coarse pitch by thread diameter, mm: ISO 261; up to M2.5 from memory."""

PROOF_MPA = {
    **dict(zip(("4.6", "4.8", "5.6", "5.8", "6.8"), (225, 310, 280, 380, 440), strict=True)),
    **dict(zip(("8.8", "9.8", "10.9", "12.9"), (580, 650, 830, 970), strict=True)),
}
"""Proof stress by property class, MPa, up to M16: ISO 898-1; 5.6, 6.8 and 9.8 from memory."""

NM_PER_LBF_IN = Decimal("0.1129848290276167")
"""1 lbf in, exact to the digits given: 0.45359237 kg × 9.80665 m/s² × 0.0254 m (NIST SP 811)."""

SAFE_SHARE = Decimal("0.9")
"""Above this share of proof a wrench's error reaches the limit; common practice, no source."""


def stress_area_mm2(diameter: Decimal, pitch: Decimal) -> Decimal:
    """Return the stress area of a thread in mm²: π ÷ 4 × (d − 0.9382 × pitch)², ISO 724, 898-1."""
    return circle_area(diameter - Decimal("0.9382") * pitch)


def _of_coarse_pitch(diameter: Decimal) -> Decimal:
    if diameter not in PITCH_MM:
        raise ValueError("no coarse thread")
    return diameter


class ScrewTorqueInputs(Inputs):
    """A screw by its size and what is stamped on its head."""

    diameter_mm: Annotated[
        Number,
        AfterValidator(_of_coarse_pitch),
        Takes(f"one of {', '.join(map(plain, PITCH_MM))} in mm"),
    ] = Field(examples=["5"])
    """Thread diameter, coarse pitch: 5 for M5."""
    property_class: Literal["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"]
    """Property class as stamped on the head; nothing stamped is no class."""
    friction_factor: Number = Field(
        default=Decimal("0.2"), ge=Decimal("0.05"), le=Decimal("0.5"), examples=["0.2"]
    )
    """The K of the formula: 0.2 as received, 0.15 oiled."""
    share_of_proof: Number = Field(
        default=Decimal("0.75"), ge=Decimal("0.1"), le=1, examples=["0.75"]
    )
    """Share of the proof load that it is tightened to; 0.75 where it is to come out again."""
    makers_torque_nm: Number | None = Field(
        default=None, ge=Decimal("0.01"), le=500, examples=["4"]
    )
    """The figure of the vehicle's or the equipment's maker, where there is one; it counts."""


class ScrewTorqueResult(Result):
    """What the screw bears."""

    clamp_n: Decimal
    """Force with which it clamps, to 1 N."""
    torque_nm: Decimal
    """Torque for that, to 0.01 N m."""
    torque_lbf_in: Decimal
    """The same in inch-pounds, to 0.1 lbf in."""


def screw_torque(given: ScrewTorqueInputs) -> ScrewTorqueResult:
    """How much torque does this screw bear, where no maker gives a figure; a maker's goes first.

    Formula: clamp = share × proof stress × π ÷ 4 × (d − 0.9382 × pitch)²; torque = K × d × clamp.
    Good: the share is at most 0.9, and the maker's figure, where typed, asks no more than the
    whole proof load of the screw.
    Assumed: a steel machine screw of coarse pitch in a thread at least as strong. K alone moves
    the torque by a quarter either way, so it is a guide and no setting. Never for plastic bosses,
    clips, sheet-metal screws, battery posts, seats, belts, airbags, brakes or steering.
    Units: mm, N, N m, lbf in; class, K and share are plain numbers.
    Range: diameter one of the coarse threads from 1.6 to 12 mm, K 0.05 to 0.5, share 0.1 to 1,
    the maker's torque 0.01 to 500 N m.
    Errors: none once the inputs are accepted.
    Source: proof stress from ISO 898-1, stress area from ISO 898-1 and 724, read in copies; K and
    the share of 0.75 from pages on bolt torque; no standard gives a torque.
    """
    area = stress_area_mm2(given.diameter_mm, PITCH_MM[given.diameter_mm])
    proof = PROOF_MPA[given.property_class] * area
    clamp = given.share_of_proof * proof
    newton_metres = _torque_nm(given, clamp)
    torque, inch_pounds = round(newton_metres, 2), round(newton_metres / NM_PER_LBF_IN, 1)
    verdict, because = _torque_verdict(given, torque, _torque_nm(given, proof))
    return ScrewTorqueResult(
        clamp_n=Decimal(round(clamp)),
        torque_nm=torque,
        torque_lbf_in=inch_pounds,
        verdict=verdict,
        because=because,
        shown=f"{plain(given.share_of_proof)} × {PROOF_MPA[given.property_class]} MPa ×"
        f" {round(area, 2)} mm² = {round(clamp)} N; {plain(given.friction_factor)} ×"
        f" {plain(given.diameter_mm)} mm × {round(clamp)} N ÷ 1000 = {torque} N m ="
        f" {inch_pounds} lbf in",
    )


def _torque_nm(given: ScrewTorqueInputs, clamp_n: Decimal) -> Decimal:
    """Return the torque in N m for a clamping force."""
    return given.friction_factor * given.diameter_mm * clamp_n / 1000


def _torque_verdict(
    given: ScrewTorqueInputs, torque: Decimal, most: Decimal
) -> tuple[Verdict, str]:
    size = f"M{plain(given.diameter_mm)} of class {given.property_class}"
    if given.makers_torque_nm is not None:
        maker = f"the maker's {plain(round(given.makers_torque_nm, 2))} N m"
        if given.makers_torque_nm <= most:
            return "good", (
                f"Tighten to {maker}, which goes before the {torque} N m computed for {size}."
            )
        return "bad", (
            f"{size} bears {round(most, 2)} N m and {maker} is more: look up the screw and the"
            " figure again, and do not tighten it."
        )
    if given.share_of_proof > SAFE_SHARE:
        return "bad", (
            f"{torque} N m takes {size} to more than {SAFE_SHARE} of what it bears: take a smaller"
            " share, and the maker's figure where there is one."
        )
    return "good", (
        f"The maker's figure goes before this one: by its size alone, {size} bears {torque} N m."
    )
