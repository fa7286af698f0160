"""A VIN is checked when the vehicle comes in, and never holds a job up."""

import pytest

from baycompanion.views.vin import vin_warning


@pytest.mark.parametrize(
    ("vin", "said"),
    [
        ("", ""),
        ("  ", ""),
        # A published example whose check digit is X; the sources stand beside the sum's own tests.
        ("1M8GDM9AXKP042788", ""),
        ("1M8GDM9A0KP042788", "Warning: the ninth sign is 0 and X was expected"),
        ("SM8GDM9A0KP042788", "Warning: the ninth sign is 0 and 7 was expected; outside North"),
        ("WO-17", "Warning: this VIN has not its 17 letters and digits"),
    ],
)
def test_a_slip_in_a_vin_is_told_in_one_sentence(vin: str, said: str) -> None:
    told = vin_warning(vin)
    assert told.startswith(said)
    assert bool(told) is bool(said)
    assert "\n" not in told
