"""Screw torques against ISO 898-1's areas and loads, and published tables of torque."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work
from baycompanion.trade.torque import PITCH_MM, PROOF_MPA, stress_area_mm2

# Source: EN ISO 898-1 as copied at usefastener.com/knowledge/404: nominal stress area, mm².
STRESS_AREA_MM2 = {
    "3": "5.03",
    "3.5": "6.78",
    "4": "8.78",
    "5": "14.2",
    "6": "20.1",
    "7": "28.9",
    "8": "36.6",
    "10": "58",
    "12": "84.3",
}
# Source: ISO metric thread proof loads, EN ISO 898-1, on two fastener suppliers' pages (addresses
# left out: company names), N, for 4.8, 5.8 and 8.8; printed to three figures.
PROOF_LOADS_N = {
    "3": (1560, 1910, 2920),
    "4": (2720, 3340, 5100),
    "5": (4400, 5400, 8230),
    "6": (6230, 7640, 11600),
    "8": (11400, 13900, 21200),
}
# Source: properties by ISO 898-1, scribd.com/document/338032810: minimum proof strength, MPa.
PROOF_MPA_PRINTED = {"4.6": 225, "8.8": 580, "10.9": 830, "12.9": 970}


def torque(diameter: str, property_class: str = "8.8", **more: str):
    given = {"diameter_mm": diameter, "property_class": property_class}
    return work("screw-torque", {**given, **more})


@pytest.mark.parametrize(("diameter", "area"), STRESS_AREA_MM2.items())
def test_stress_area_is_the_one_iso_898_1_prints(diameter, area):
    pitch = next(pitch for size, pitch in PITCH_MM.items() if str(size) == diameter)
    found = float(stress_area_mm2(type(pitch)(diameter), pitch))
    assert found == pytest.approx(float(area), rel=0.003)


@pytest.mark.parametrize(
    ("diameter", "property_class", "load"),
    [
        (diameter, property_class, load)
        for diameter, loads in PROOF_LOADS_N.items()
        for property_class, load in zip(("4.8", "5.8", "8.8"), loads, strict=True)
    ],
)
def test_clamp_at_the_whole_proof_load_is_the_one_printed(diameter, property_class, load):
    worked = torque(diameter, property_class, share_of_proof="1")
    assert worked.values["clamp_n"] == pytest.approx(load, rel=0.008)


@pytest.mark.parametrize(("property_class", "stress"), PROOF_MPA_PRINTED.items())
def test_proof_stress_is_the_one_printed(property_class, stress):
    assert PROOF_MPA[property_class] == stress


@pytest.mark.parametrize(
    ("diameter", "dry", "oiled"),
    # Source: Metric Bolt Torque Table, cncexpo.com/MetricBoltTorque.aspx: lb in at 75 % of proof,
    # cut to whole inch-pounds.
    [("5", 54, 41), ("6", 92, 69), ("8", 225, 169)],
)
def test_torque_agrees_with_the_published_table(diameter, dry, oiled):
    assert torque(diameter).values["torque_lbf_in"] == pytest.approx(dry, abs=1)
    oily = torque(diameter, friction_factor="0.15")
    assert oily.values["torque_lbf_in"] == pytest.approx(oiled, abs=1)


def test_torque_of_a_published_example():
    # Source: aionlinecalculator.com/bolt-torque-calculator.html: M12 8.8, 70 % of proof, K 0.2:
    # 34.2 kN and 82 N m.
    worked = torque("12", share_of_proof="0.7")
    assert worked.values["clamp_n"] == pytest.approx(34_200, rel=0.002)
    assert worked.values["torque_nm"] == pytest.approx(82, abs=0.3)


def test_inch_pounds_are_newton_metres_by_the_nist_factor():
    # Source: NIST SP 811: 1 lbf in is 0.1129848 N m.
    values = torque("8").values
    assert values["torque_lbf_in"] * 0.1129848 == pytest.approx(values["torque_nm"], abs=0.01)


def test_makers_figure_goes_before_the_computed_one_in_words():
    assert torque("5").because.startswith("The maker's figure goes before this one")
    worked = torque("6", makers_torque_nm="35 lbf.in")
    assert worked.verdict == "good"
    assert worked.because.startswith("Tighten to the maker's 3.95 N m")


def test_makers_figure_above_what_the_screw_bears_is_questioned():
    worked = torque("5", "4.8", makers_torque_nm="12")
    assert worked.verdict == "bad"
    assert "do not tighten it" in worked.because


def test_share_near_the_whole_proof_load_is_bad():
    # Common practice, no source: a wrench's error takes the rest.
    assert torque("5", share_of_proof="0.9").verdict == "good"
    assert torque("5", share_of_proof="0.91").verdict == "bad"


@pytest.mark.parametrize("diameter", ["5.5", "13", "0", "M5"])
def test_what_is_no_coarse_thread_is_refused_with_those_that_are(diameter):
    with pytest.raises(ValueError, match=r"^diameter_mm cannot be .*: type one of 1\.6, 2, "):
        torque(diameter)


def test_quarter_inch_is_no_metric_thread():
    with pytest.raises(ValueError, match="diameter_mm"):
        torque("1/4 in")


@given(st.decimals("0.1", "1", places=2), st.decimals("0.1", "1", places=2))
def test_torque_grows_with_the_share(one, other):
    low, high = sorted((one, other))
    found = [torque("6", share_of_proof=f"{share}").values["torque_nm"] for share in (low, high)]
    assert found[0] <= found[1]
