"""An example of what may stand at every key of a procedure file, for editors to show.

A key that means the same wherever it stands has one example; where it depends on what it stands
in, it has one for each.
"""

from typing import Any

Example = Any

ANYWHERE: dict[str, list[Example]] = {
    "when": [{"amplifier": "yes"}],
    "unless": [{"drive": ["hybrid", "electric"]}],
    "id": ["battery-off"],
    "cautions": [
        [
            {
                "warning": "An airbag can go off.",
                "consequence": "It breaks bones.",
                "avoid": "Keep out of its path.",
            }
        ]
    ],
    "tools": [["multimeter", "trim-tools"]],
    "torque": [
        [
            {
                "fastener": "M5 side-bracket screw",
                "into": "steel bracket",
                "value": 2.5,
                "unit": "N m",
                "source": "The maker of the bracket.",
            }
        ]
    ],
    "details": [["Note which face looks up.", "Keep the clips in the tray."]],
    "why": ["A flat battery fails every later test."],
    "faults": [
        [
            {
                "fault": "dead-speaker",
                "name": "A dead speaker",
                "seen": "The rear left speaker stays silent.",
            }
        ]
    ],
    "target": ["20 min"],
    "shortest": ["90 s"],
    "photo": ["wanted"],
    "back-to": ["joins-made"],
    "source": ["Common practice, no source."],
    "unit": ["V"],
    "consequence": ["It breaks bones."],
    "avoid": ["Keep out of its path."],
    "name": ["Multimeter"],
    "group": ["Dash"],
    "by": ["teardown"],
    "because": ["A closed dash hides what is left in it."],
    "override": ["supervisor"],
    "hazards": [
        [
            {
                "danger": "Orange cables carry high voltage.",
                "consequence": "It kills.",
                "avoid": "Never touch one.",
            }
        ]
    ],
    "choices": [[{"choice": "amplifier", "title": "Amplified factory system"}]],
    "parts": [[{"part": "dash-kit", "name": "Dash kit", "by": "refit"}]],
    "standing": [
        [
            {
                "standing": "battery-off",
                "says": "The battery stays off.",
                "begins": "battery-off-now",
                "ends": "battery-on",
                "ask": "Is the battery still off?",
            }
        ]
    ],
    "phases": [
        [
            {
                "phase": "take-in",
                "title": "Take the vehicle in",
                "target": "5 min",
                "steps": [{"do": "Switch the ignition off.", "id": "ignition-off"}],
            }
        ]
    ],
    "gates": [
        [
            {
                "gate": "sound-proved",
                "holds": "refit",
                "until": [{"passed": "sound-tried"}],
                "because": "A closed dash hides a silent speaker.",
                "override": "supervisor",
            }
        ]
    ],
    "for-the-owner": [[{"tell": "Charge the battery within a week."}]],
    "title": ["Take the vehicle in"],
}
"""By key, what may stand there in any mapping that has it."""

IN: dict[str, dict[str, list[Example]]] = {
    "Procedure": {
        "procedure": ["receiver-swap"],
        "title": ["Fit a receiver in the dash"],
        "revision": [1],
        "author": ["t-07"],
        "date": ["2026-11-25"],
        "source": ["The maker's instructions for the dash kit."],
        "changes": [["The cap is measured before the joins."]],
        "fits": ["Does the dash take a receiver of this size?"],
        "tools": [
            [{"tool": "multimeter", "name": "Multimeter", "by": "work", "instrument": "yes"}]
        ],
    },
    "Shared": {
        "shared": ["vehicle-in"],
        "tools": [[{"tool": "multimeter", "name": "Multimeter"}]],
    },
    "Choice": {
        "choice": ["camera-feed"],
        "title": ["How the camera is fed"],
        "answers": [["analog", "digital", "none"]],
        "group": ["Sound system"],
    },
    "Plantable": {
        "fault": ["dead-speaker"],
        "name": ["A dead speaker"],
        "seen": ["The rear left speaker stays silent."],
        "reading": [10.4],
        "line": ["trim-screws"],
        "cause": ["vehicle"],
    },
    "Tool": {"tool": ["multimeter"], "instrument": ["yes"]},
    "Part": {"part": ["dash-kit"], "name": ["Dash kit"], "count": [2]},
    "OwnerLine": {"tell": ["Charge the battery within a week."]},
    "Standing": {
        "standing": ["battery-off"],
        "says": ["The battery stays off."],
        "begins": ["battery-off-now"],
        "ends": ["battery-on"],
        "ask": ["Is the battery still off?"],
    },
    "Phase": {
        "phase": ["teardown"],
        "title": ["Take the factory receiver out"],
        "steps": [[{"do": "Switch the ignition off.", "id": "ignition-off"}]],
    },
    "Gate": {
        "gate": ["sound-proved"],
        "holds": ["refit"],
        "until": [[{"passed": "sound-tried"}, {"no-open-fault": "work"}]],
    },
    "Item": {"item": ["lamps"], "name": ["Lamps"], "panel": ["left-front-door"]},
    "Do": {
        "do": ["Put every tool on the bench."],
        "each": ["tools", [{"item": "cap", "name": "Close the cap."}]],
        "borrows": ["tap"],
    },
    "Check": {"check": ["Every speaker sounds."]},
    "Measure": {
        "measure": ["Read the battery at rest."],
        "at-least": [12.4],
        "at-most": [12.9],
        "instrument": ["multimeter"],
        "agree-within": [0.1],
    },
    "Record": {
        "record": ["Write down the stored stations in their order."],
        "takes": ["list"],
        "unit": ["km"],
        "repeats": ["stations-before"],
        "private": ["yes"],
        "may-be-empty": ["yes"],
        "serial-of": ["receiver"],
        "owner-word": ["agreed"],
    },
    "Sum": {
        "sum": ["Work out how full the battery is."],
        "of": ["battery-rest"],
        "inputs": [{"volts": {"answer": "rest-voltage"}, "kind": "flooded"}],
    },
    "SumInput": {"answer": ["rest-voltage"]},
    "Count": {
        "count": ["Count the screws that come out."],
        "of": [[{"item": "m5", "name": "M5 screws", "group": "Dash"}]],
        "matches": ["screws-out"],
    },
    "Choose": {"choose": ["Has it a factory amplifier?"], "settles": ["amplifier"]},
    "Wait": {
        "wait": ["Let the airbag reserve run empty."],
        "lasts": ["2 min"],
        "since": ["battery-off"],
        "source": ["The vehicle maker's instructions."],
    },
    "Inspect": {
        "inspect": ["Try every function on the list."],
        "of": [[{"item": "lamps", "name": "Lamps"}]],
        "compares": ["functions-before"],
        "looks-for": ["marks"],
    },
    "Witness": {
        "witness": ["A second person looks at every join."],
        "of": [["joins-made"]],
        "manner": ["independent"],
        "role": ["technician"],
        "by-mentor": ["yes"],
        "provisional": ["joins-tugged"],
    },
    "Danger": {"danger": ["Orange cables carry high voltage."]},
    "Warning": {"warning": ["An airbag can go off."]},
    "Caution": {"caution": ["Cut trim has sharp edges."]},
    "Notice": {"notice": ["A steel blade scratches the trim."]},
    "Torque": {
        "fastener": ["M5 side-bracket screw"],
        "into": ["steel bracket"],
        "tool": ["torque driver"],
        "value": [2.5],
        "unit": ["N m"],
        "plus-minus": [0.3],
        "pattern": ["Opposite corners, in two rounds."],
    },
    "Done": {"done": ["battery-off"]},
    "Passed": {"passed": ["sound-tried"]},
    "Inside": {"inside": ["rest-voltage"]},
    "Recorded": {"recorded": ["stations"]},
    "Over": {"over": ["airbag-reserve"]},
    "Matching": {"matching": ["screws-back"]},
    "Witnessed": {"witnessed": ["joins-seen"]},
    "Good": {"good": ["cap-fits"]},
    "NoOpenFault": {"no-open-fault": ["work"]},
    "OnBench": {"on-bench": ["teardown"]},
    "AllOf": {"all": [[{"done": "battery-off"}, {"over": "airbag-reserve"}]]},
    "AnyOf": {"any": [[{"passed": "sound-tried"}, {"witnessed": "sound-heard"}]]},
}
"""By the mapping that it stands in, and by key, where that makes a difference."""


def with_examples(parts: dict[str, Any]) -> dict[str, Any]:
    """Return the parts of a JSON Schema with an example at every key that has one here."""
    return {
        name: {**part, "properties": {key: _with(name, key, field) for key, field in keys.items()}}
        if (keys := part.get("properties"))
        else part
        for name, part in parts.items()
    }


def _with(part: str, key: str, field: dict[str, Any]) -> dict[str, Any]:
    found = IN.get(part, {}).get(key, ANYWHERE.get(key))
    return {**field, "examples": found} if found is not None else field
