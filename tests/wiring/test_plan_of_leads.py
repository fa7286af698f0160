"""The plan: ISO 10487 against an invented receiver, extras, caps, and leads that are left over."""

from decimal import Decimal

import pytest
from wires import connector, extra, joined, left, receiver, rules, shipped, vehicle

from baycompanion.text.problem import BadFile
from baycompanion.trade.catalogue import work
from baycompanion.wiring.caps import read_caps
from baycompanion.wiring.measuring import HOW_TO_MEASURE
from baycompanion.wiring.plan import plan_splices

CAPS = read_caps("small 700-3000, grey 1500-6500")

ISO_10487 = {
    # Pin functions as printed in the encyclopedia article ISO 10487 (copy read at
    # perceptiono.com/ISO_10487); the plugs of block B agree with elinkercontact.com,
    # "Four different connectors typically used in head units for car audio". The article adds
    # that the standard fixes the housings only: what a pin is for is usage.
    "A1": "speed",
    "A2": "mute",
    "A4": "constant-feed",
    "A5": "antenna-feed",
    "A6": "lit-dash-feed",
    "A7": "switched-feed",
    "A8": "ground",
    "B1": "rear-right-plus",
    "B2": "rear-right-minus",
    "B3": "front-right-plus",
    "B4": "front-right-minus",
    "B5": "front-left-plus",
    "B6": "front-left-minus",
    "B7": "rear-left-plus",
    "B8": "rear-left-minus",
}

COLOURS = {
    # Aftermarket colours, from the article at theinfolist.com, ISO 10487: speakers' minus has a
    # black stripe. No standard binds them. Blue for the antenna is common practice, no source.
    "constant-feed": "yellow",
    "switched-feed": "red",
    "ground": "black",
    "lit-dash-feed": "orange/white",
    "antenna-feed": "blue",
    "front-right-plus": "grey",
    "front-right-minus": "grey/black",
    "front-left-plus": "white",
    "front-left-minus": "white/black",
    "rear-right-plus": "violet",
    "rear-right-minus": "violet/black",
    "rear-left-plus": "green",
    "rear-left-minus": "green/black",
}


class TestIso10487:
    def test_its_pins_have_the_functions_that_are_published(self) -> None:
        leads = [lead for each in shipped("iso-10487-a", "iso-10487-b") for lead in each.leads]
        assert {lead.pin: lead.function for lead in leads} == ISO_10487

    def test_its_leads_have_the_colours_in_common_use(self) -> None:
        leads = [lead for each in shipped("iso-10487-a", "iso-10487-b") for lead in each.leads]
        assert {
            lead.function: lead.colours for lead in leads if lead.function in COLOURS
        } == COLOURS

    def test_every_function_on_both_sides_is_joined_by_function(self) -> None:
        plan = plan_splices(shipped("iso-10487-a", "iso-10487-b", "receiver"))
        assert plan.problems == ()
        pin_of = {function: pin for pin, function in ISO_10487.items()}
        for join in plan.joins:
            on_vehicle, on_receiver = join.leads
            assert on_vehicle.pin == pin_of[join.function]
            assert on_receiver.function == join.function
        assert [join.id for join in plan.joins] == [
            "constant-feed",
            "switched-feed",
            "ground",
            "lit-dash-feed",
            "antenna-feed",
            *(f"{end}-{side}-{sign}" for end in ("front", "rear") for side in ("left", "right")
              for sign in ("plus", "minus")),
        ]  # fmt: skip
        assert all(join.notes == () for join in plan.joins)  # both have the usual colours
        assert sorted(left(plan)) == [
            "iso-a/A1",
            "iso-a/A2",
            "receiver/14",
            "receiver/15",
            "receiver/16",
        ]

    def test_in_a_vehicle_that_swaps_its_two_feeds_the_function_counts(self) -> None:
        """Some makes have A4 and A7 the other way round (same sources); colours then mislead."""
        swapped = vehicle(
            "pin: A4, function: switched-feed, colour: yellow",
            "pin: A7, function: constant-feed, colour: red",
        )
        plan = plan_splices([swapped, *shipped("receiver")])
        assert joined(plan) == {
            "constant-feed": ("vehicle/A7", "receiver/9"),
            "switched-feed": ("vehicle/A4", "receiver/10"),
        }
        assert plan.joins[0].notes == ("Colours differ (red, yellow): the function counts.",)


class TestJoining:
    def test_an_extra_taps_the_same_function_in_the_same_join(self) -> None:
        plan = plan_splices(shipped("vehicle", "receiver", "wheel-interface", "amplifier"))
        found = joined(plan)
        assert found["constant-feed"] == ("vehicle/1", "receiver/9", "interface/1")
        assert found["front-left-plus"] == ("vehicle/8", "receiver/3", "amplifier/2")
        assert found["wired-remote"] == ("receiver/16", "interface/4")
        assert rules(plan) == ["unknown-function"]

    def test_pins_are_in_the_order_of_their_numbers(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: ground"),
                receiver(*(f"pin: {pin}, function: ground" for pin in (10, 9, "A2", "A10", 1))),
            ]
        )
        assert [lead.pin for lead in plan.joins[0].leads[1:]] == ["A2", "A10", "1", "9", "10"]

    def test_leads_of_one_side_alone_are_not_joined(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: speed", "pin: 2, function: data-high"),
                connector("rear", "vehicle", "pin: 1, function: data-high"),
                receiver("pin: 1, function: mute"),
            ]
        )
        assert (plan.joins, plan.problems) == ((), ())
        assert left(plan)["rear/1"] == "Only the vehicle side has it."
        assert left(plan)["receiver/1"] == "Only the receiver side has it."

    def test_what_the_equipment_misses_is_told(self) -> None:
        plan = plan_splices(
            [vehicle("pin: 1, function: speed"), receiver("pin: 1, function: ground")]
        )
        assert left(plan)["receiver/1"].startswith("Only the receiver side has it. Nothing works")

    def test_two_grounds_of_the_equipment_alone_are_no_ground(self) -> None:
        plan = plan_splices(
            [receiver("pin: 1, function: ground"), extra("pin: 1, function: ground")]
        )
        assert plan.joins == ()
        assert left(plan)["extra/1"].startswith("Nothing here supplies it. Nothing works")

    def test_joins_are_in_the_order_of_their_functions_not_of_their_first_leads(self) -> None:
        """The last join begins with an antenna-feed of the vehicle, and is fed by the trigger."""
        plan = plan_splices(
            [
                vehicle("pin: 1, function: antenna-feed, current-a: 0.1, join: receiver/1"),
                receiver(
                    "pin: 1, function: amplifier-trigger, current-a: 0.3, join: vehicle/1",
                    "pin: 2, function: antenna-feed",
                ),
                extra("pin: 2, function: antenna-feed"),
            ]
        )
        assert joined(plan) == {
            "antenna-feed": ("receiver/2", "extra/2"),
            "amplifier-trigger": ("vehicle/1", "receiver/1"),
        }
        assert list(joined(plan)) == ["antenna-feed", "amplifier-trigger"]

    def test_two_that_draw_and_none_that_supplies_make_no_join(self) -> None:
        plan = plan_splices(
            [receiver("pin: 1, function: switched-feed"), extra("pin: 1, function: switched-feed")]
        )
        assert plan.joins == ()
        assert left(plan)["extra/1"].startswith("Nothing here supplies it.")

    def test_an_interface_may_supply_what_the_vehicle_has_only_as_data(self) -> None:
        plan = plan_splices(
            [
                receiver("pin: 1, function: switched-feed"),
                extra("pin: 1, function: switched-feed, supplies: yes"),
            ]
        )
        assert list(joined(plan)) == ["switched-feed"]

    def test_an_output_that_may_do_for_another_is_hinted_at(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: antenna-feed"),
                receiver("pin: 1, function: amplifier-trigger"),
            ]
        )
        assert "Its join: may be receiver/1 (amplifier-trigger)" in left(plan)["vehicle/1"]

    def test_a_join_says_in_one_line_what_comes_together(self) -> None:
        plan = plan_splices(shipped("vehicle", "receiver", "wheel-interface"))
        assert str(plan.joins[0]) == (
            "constant-feed: vehicle 1 red with receiver 9 yellow with interface 1 yellow"
        )
        assert str(plan.left_over[0]) == "vehicle 5 grey/red: dimmer, vehicle side"


class TestNotKnown:
    def test_a_lead_of_the_vehicle_is_measured(self) -> None:
        plan = plan_splices(
            [vehicle("pin: 7, function: unknown"), receiver("pin: 1, function: mute")]
        )
        [told] = plan.problems
        assert (told.kind, told.how) == ("unknown", HOW_TO_MEASURE)
        assert str(told) == (
            "vehicle.yaml:6:5: The function of vehicle/7 is not known, so it joins nothing. "
            "Measure it, and write the function that you find."
        )

    def test_a_lead_of_the_equipment_is_looked_up(self) -> None:
        plan = plan_splices(
            [vehicle("pin: 1, function: mute"), receiver("pin: 1, function: unknown")]
        )
        [told] = plan.problems
        assert told.how == ()
        assert "leaflet" in told.instead

    def test_two_unknown_leads_are_never_taken_for_the_same(self) -> None:
        plan = plan_splices(
            [vehicle("pin: 1, function: unknown"), receiver("pin: 1, function: unknown")]
        )
        assert plan.joins == ()
        assert rules(plan) == ["unknown-function", "unknown-function"]

    def test_what_is_to_join_an_unknown_lead_waits_for_it(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: unknown"),
                receiver("pin: 1, function: speed, join: vehicle/1"),
            ]
        )
        assert left(plan) == {
            "receiver/1": "It waits for vehicle/1, which joins nothing before it is known."
        }

    def test_the_steps_keep_off_airbags_before_anything_is_measured(self) -> None:
        assert "yellow sleeve" in HOW_TO_MEASURE[0]
        assert "airbag" in HOW_TO_MEASURE[0]
        pop_test = next(step for step in HOW_TO_MEASURE if "1.5 V" in step)
        assert "igniter" in pop_test


class TestCaps:
    def test_the_sum_chooses_it_from_the_gauges(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: ground, awg: 18"),
                receiver("pin: 1, function: ground, awg: 18"),
                extra("pin: 1, function: ground, awg: 20"),
            ],
            CAPS,
        )
        # 18 AWG has 1624 and 20 AWG 1022 cmil: American wire gauge, encyclopedia copy at
        # tickerdossier.com/wiki/an-awg-15; 2 × 1624 + 1022 = 4270.
        cap = plan.joins[0].cap
        assert (cap.verdict, cap.name) == ("good", "grey")
        assert cap.area_cmil is not None
        assert abs(cap.area_cmil - 4270) < 5
        worked = work("splice", {"awg": "18,18,20", "caps": "small 700-3000,grey 1500-6500"})
        assert cap.area_cmil == Decimal(worked.results["area_cmil"])

    def test_an_area_counts_like_a_gauge(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: ground, area-mm2: 0.823"),  # 18 AWG, ASTM B258 (memory)
                receiver("pin: 1, function: ground, awg: 18"),
            ],
            CAPS,
        )
        assert plan.joins[0].cap.area_cmil is not None
        assert abs(plan.joins[0].cap.area_cmil - 3248) < 3

    def test_where_none_fits_it_says_so(self) -> None:
        plan = plan_splices(
            [
                vehicle("pin: 1, function: ground, awg: 8"),
                receiver("pin: 1, function: ground, awg: 8"),
            ],
            CAPS,
        )
        cap = plan.joins[0].cap
        assert (cap.verdict, cap.name) == ("bad", None)
        assert "No cap of the list" in cap.because
        assert plan.problems == ()

    def test_what_is_missing_is_told(self) -> None:
        pins = "pin: 1, function: ground, awg: 18"
        without = plan_splices([vehicle(pins), receiver("pin: 1, function: ground")], CAPS)
        assert without.joins[0].cap.because == "The gauge is not known of receiver/1."
        no_caps = plan_splices([vehicle(pins), receiver(pins)])
        assert no_caps.joins[0].cap.because == "No caps are given: write the shop's own."
        assert no_caps.joins[0].cap.verdict == "not-known"

    def test_more_leads_than_a_cap_takes_are_told(self) -> None:
        many = receiver(*(f"pin: {pin}, function: ground, awg: 22" for pin in range(12)))
        plan = plan_splices([vehicle("pin: 1, function: ground, awg: 22"), many], CAPS)
        assert "13 leads are too many for one cap" in plan.joins[0].cap.because

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("grey", "“grey” is no cap."),
            ("grey 6500-1500", "“grey 6500-1500” is no cap."),
            ("", "“” is no cap."),
            ("a 700-800, A 900-1000", "Two caps are called “a”."),
            (",".join(f"c{number} 700-800" for number in range(21)), "These are 21 caps."),
        ],
    )
    def test_caps_that_are_none_are_refused(self, text: str, told: str) -> None:
        with pytest.raises(ValueError, match=r".") as refused:
            read_caps(text)
        assert str(refused.value).startswith(told)


class TestNames:
    def problems(self, *pins: str, of: str = "pin: 1, function: mute") -> list[str]:
        with pytest.raises(BadFile) as bad:
            plan_splices([vehicle(of), receiver(*pins)])
        return [str(problem) for problem in bad.value.problems]

    def test_two_connectors_of_one_name_are_refused(self) -> None:
        twin = vehicle("pin: 1, function: mute")
        with pytest.raises(BadFile, match="A connector “vehicle” stands in vehicle"):
            plan_splices([twin, vehicle("pin: 2, function: mute")])

    def test_a_join_that_leads_nowhere_is_told_with_the_nearest_name(self) -> None:
        assert self.problems("pin: 1, function: mute, join: vehicel/1") == [
            "receiver.yaml:6:5: receiver/1 is to join “vehicel/1”, and there is no such lead. "
            "Did you mean vehicle/1?"
        ]

    def test_a_lead_does_not_join_itself(self) -> None:
        [told] = self.problems("pin: 1, function: mute, join: receiver/1")
        assert "is to join itself" in told

    def test_a_lead_does_not_join_one_that_is_left_over(self) -> None:
        [told] = self.problems(
            "pin: 1, function: mute, join: vehicle/1", of="pin: 1, function: mute, join: none"
        )
        assert "left over by its own join: none" in told
