"""What is never joined: each rule with the leads that break it, and their harmless neighbours.

The rules of the trade are common practice without a source, unless one is named.
"""

import pytest
from wires import extra, joined, left, receiver, rules, vehicle

from baycompanion.wiring.never import RULES
from baycompanion.wiring.plan import plan_splices

FORBIDDEN = [
    # the rule, the pins of the vehicle, the pins of the receiver
    ("lit-dash-to-ground", ["function: ground"], ["function: lit-dash-feed, join: vehicle/1"]),
    ("lit-dash-to-ground", ["function: lit-dash-feed, grounded: yes"], ["function: lit-dash-feed"]),
    ("dimmer-to-ground", ["function: dimmer"], ["function: ground, join: vehicle/1"]),
    ("parking-brake-to-ground", ["function: ground"], ["function: parking-brake, join: vehicle/1"]),
    (
        "speaker-minus-to-ground",
        ["function: front-left-minus, grounded: yes"],
        ["function: front-left-minus, bridged: yes"],
    ),
    (
        "speaker-minus-to-ground",
        ["function: ground"],
        ["function: rear-right-minus, bridged: yes, join: vehicle/1"],
    ),
    (  # nobody said that the output is not bridged
        "speaker-minus-to-ground",
        ["function: front-left-minus, grounded: yes"],
        ["function: front-left-minus"],
    ),
    (
        "speaker-plus-to-ground",
        ["function: ground"],
        ["function: front-left-plus, bridged: no, join: vehicle/1"],
    ),
    ("feed-to-ground", ["function: ground"], ["function: constant-feed, join: vehicle/1"]),
    ("feed-to-ground", ["function: reverse-feed"], ["function: ground, join: vehicle/1"]),
    ("feed-to-ground", ["function: ground"], ["function: antenna-feed, join: vehicle/1"]),
    ("feed-to-speaker", ["function: constant-feed"], ["function: rear-left-plus, join: vehicle/1"]),
    (
        "feeds-of-different-kind",
        ["function: constant-feed"],
        ["function: switched-feed, join: vehicle/1"],
    ),
    (
        "feeds-of-different-kind",
        ["function: switched-feed"],
        ["function: antenna-feed, join: vehicle/1"],
    ),
    (
        "speakers-crossed",
        ["function: front-left-minus"],
        ["function: front-left-plus, join: vehicle/1"],
    ),
    ("functions-that-differ", ["function: speed"], ["function: mute, join: vehicle/1"]),
    (
        "two-supply",
        ["function: constant-feed", "function: constant-feed"],
        ["function: constant-feed"],
    ),
    (
        "above-its-current",
        ["function: antenna-feed, current-a: 0.5"],
        ["function: amplifier-trigger, current-a: 0.3, join: vehicle/1"],
    ),
    (  # across the two, both currents have to be known
        "above-its-current",
        ["function: antenna-feed"],
        ["function: amplifier-trigger, current-a: 0.3, join: vehicle/1"],
    ),
    (
        "above-its-current",
        ["function: antenna-feed, current-a: 0.2"],
        ["function: amplifier-trigger, join: vehicle/1"],
    ),
    (
        "above-its-current",
        ["function: antenna-feed, current-a: 5"],
        ["function: antenna-feed, current-a: 0.3"],
    ),
    (
        "above-its-current",
        ["function: constant-feed, current-a: 10"],
        ["function: constant-feed, current-a: 10.1"],
    ),
]

ALLOWED = [
    ("lit-dash-feed", ["function: lit-dash-feed"], ["function: lit-dash-feed"]),
    ("parking-brake", ["function: parking-brake"], ["function: parking-brake"]),
    (
        "front-left-minus",
        ["function: front-left-minus, grounded: yes"],
        ["function: front-left-minus, bridged: no"],
    ),
    (
        "front-left-minus",
        ["function: ground"],
        ["function: front-left-minus, bridged: no, join: vehicle/1"],
    ),
    (
        "amplifier-trigger",
        ["function: antenna-feed, current-a: 0.3"],
        ["function: amplifier-trigger, current-a: 0.3, join: vehicle/1"],
    ),
    (
        "constant-feed",
        ["function: constant-feed, current-a: 10"],
        ["function: constant-feed, current-a: 10"],
    ),
    ("ground", ["function: ground, grounded: yes", "function: ground"], ["function: ground"]),
]


SIGNS = ((1, "plus"), (2, "minus"))


def numbered(pins: list[str]) -> list[str]:
    return [f"pin: {number}, {pin}" for number, pin in enumerate(pins, 1)]


@pytest.mark.parametrize(("rule", "on_vehicle", "on_receiver"), FORBIDDEN)
def test_what_is_never_joined_is_told_and_not_joined(
    rule: str, on_vehicle: list[str], on_receiver: list[str]
) -> None:
    plan = plan_splices([vehicle(*numbered(on_vehicle)), receiver(*numbered(on_receiver))])
    assert (rules(plan), plan.joins, plan.left_over) == ([rule], (), ())
    [told] = plan.problems
    assert told.kind == "forbidden"
    assert {lead.name for lead in told.leads} == {
        *(f"vehicle/{number}" for number, _ in enumerate(on_vehicle, 1)),
        *(f"receiver/{number}" for number, _ in enumerate(on_receiver, 1)),
    }
    assert told.place.file in ("vehicle.yaml", "receiver.yaml")
    assert str(told).startswith(f"{told.place}: ")
    assert told.what
    assert told.instead


@pytest.mark.parametrize(("name", "on_vehicle", "on_receiver"), ALLOWED)
def test_its_harmless_neighbour_is_joined(
    name: str, on_vehicle: list[str], on_receiver: list[str]
) -> None:
    plan = plan_splices([vehicle(*numbered(on_vehicle)), receiver(*numbered(on_receiver))])
    assert (rules(plan), list(joined(plan))) == ([], [name])


def test_every_rule_is_broken_by_some_row_above() -> None:
    named = [rule.__name__.replace("_", "-") for rule in RULES]
    assert sorted(named) == sorted({rule for rule, _, _ in FORBIDDEN})


def test_what_several_draw_together_counts() -> None:
    plan = plan_splices(
        [
            receiver("pin: 1, function: amplifier-trigger, current-a: 0.3"),
            extra(
                "pin: 1, function: amplifier-trigger, current-a: 0.2",
                "pin: 2, function: amplifier-trigger, current-a: 0.2",
            ),
        ]
    )
    assert rules(plan) == ["above-its-current"]
    assert "0.4 A" in plan.problems[0].what
    assert "0.3 A" in plan.problems[0].what


def test_an_amplifier_that_drives_a_speaker_of_the_receiver_is_told() -> None:
    """Its inputs and outputs are planned in pairs that name each other; then both fit."""
    speaker = vehicle("pin: 1, function: front-left-plus", "pin: 2, function: front-left-minus")
    receiver_out, amplifier_out = (
        [f"pin: {pin}, function: front-left-{sign}, bridged: yes" for pin, sign in SIGNS]
        for _ in range(2)
    )
    plan = plan_splices(
        [
            speaker,
            receiver(*receiver_out),
            extra(*amplifier_out),
        ]
    )
    assert rules(plan) == ["two-supply", "two-supply"]
    plan = plan_splices(
        [
            speaker,
            receiver(*(f"{pin}, join: extra/in{n}" for n, pin in enumerate(receiver_out, 1))),
            extra(
                *amplifier_out,
                *(f"pin: in{n}, function: front-left-{s}, join: receiver/{n}" for n, s in SIGNS),
            ),
        ]
    )
    assert rules(plan) == []
    assert joined(plan) == {
        "front-left-plus": ("vehicle/1", "extra/1"),
        "front-left-plus-2": ("receiver/1", "extra/in1"),
        "front-left-minus": ("vehicle/2", "extra/2"),
        "front-left-minus-2": ("receiver/2", "extra/in2"),
    }


@pytest.mark.parametrize("sign", ["plus", "minus"])
def test_a_speaker_is_not_joined_by_half_to_an_output_that_may_be_bridged(sign: str) -> None:
    """As where a vehicle's speakers return through its body, and it has only the plus of each."""
    for bridged, rule in (
        ("yes", ["speaker-half-joined"]),
        (None, ["speaker-half-joined"]),
        ("no", []),
    ):
        said = f", bridged: {bridged}" if bridged else ""
        plan = plan_splices(
            [
                vehicle(
                    f"pin: 1, function: front-left-{sign}", "pin: 2, function: rear-left-minus"
                ),
                receiver(*(f"pin: {n}, function: front-left-{s}{said}" for n, s in SIGNS)),
            ]
        )
        assert rules(plan) == rule
        assert list(joined(plan)) == ([] if rule else [f"front-left-{sign}"])
        other = 2 if sign == "plus" else 1
        assert sorted(left(plan)) == [f"receiver/{other}", "vehicle/2"]


def test_a_speaker_whose_minus_is_refused_is_not_joined_by_its_plus() -> None:
    plan = plan_splices(
        [
            vehicle(
                "pin: 1, function: front-left-plus",
                "pin: 2, function: front-left-minus, grounded: yes",
            ),
            receiver(*(f"pin: {n}, function: front-left-{s}, bridged: yes" for n, s in SIGNS)),
        ]
    )
    assert plan.joins == ()
    assert rules(plan) == ["speaker-half-joined", "speaker-minus-to-ground"]


def test_of_two_joins_of_one_plus_and_one_of_its_minus_neither_plus_is_made() -> None:
    """Which of the two is the whole one cannot be told."""
    plan = plan_splices(
        [
            vehicle(*(f"pin: {n}, function: front-left-{s}" for n, s in SIGNS)),
            receiver("pin: 1, function: front-left-plus, bridged: yes, join: extra/in1"),
            extra(
                *(f"pin: {n}, function: front-left-{s}, bridged: yes" for n, s in SIGNS),
                "pin: in1, function: front-left-plus, join: receiver/1",
            ),
        ]
    )
    assert rules(plan) == ["speaker-half-joined", "speaker-half-joined"]
    assert list(joined(plan)) == ["front-left-minus"]


def test_speakers_that_share_an_output_are_noted_in_each_join() -> None:
    plan = plan_splices(
        [
            vehicle(
                *(f"pin: {n}, function: front-left-{s}" for n, s in SIGNS),
                *(f"pin: tweeter{n}, function: front-left-{s}" for n, s in SIGNS),
            ),
            receiver(*(f"pin: {n}, function: front-left-{s}" for n, s in SIGNS)),
        ]
    )
    assert [note.split(":")[0] for join in plan.joins for note in join.notes] == [
        "2 speaker leads of the vehicle share one output",
        "2 speaker leads of the vehicle share one output",
    ]


def test_a_lead_that_its_file_leaves_over_settles_which_of_two_is_used() -> None:
    plan = plan_splices(
        [
            vehicle(
                "pin: 1, function: constant-feed", "pin: 2, function: constant-feed, join: none"
            ),
            receiver("pin: 1, function: constant-feed"),
        ]
    )
    assert joined(plan) == {"constant-feed": ("vehicle/1", "receiver/1")}
    assert left(plan) == {"vehicle/2": "Its file leaves it over."}


@pytest.mark.parametrize("function", ["unknown", "constant-feed", "front-left-plus"])
def test_a_lead_in_a_yellow_sleeve_is_neither_joined_nor_measured(function: str) -> None:
    plan = plan_splices(
        [
            vehicle(f"pin: 1, function: {function}, sleeve: yellow"),
            receiver("pin: 1, function: constant-feed", "pin: 2, function: front-left-plus"),
        ]
    )
    assert (rules(plan), plan.joins) == (["yellow-sleeve"], ())
    assert plan.problems[0].kind == "forbidden"
    assert plan.problems[0].how == ()


def test_a_yellow_sleeve_on_new_equipment_means_nothing() -> None:
    plan = plan_splices(
        [
            vehicle("pin: 1, function: constant-feed"),
            receiver("pin: 1, function: constant-feed, sleeve: yellow"),
        ]
    )
    assert list(joined(plan)) == ["constant-feed"]
