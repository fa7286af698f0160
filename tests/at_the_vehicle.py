"""What is read and typed at the vehicle in walks of whole jobs; invented."""

ANSWERS = {
    "battery-temperature": "20",
    "rest-voltage": "12.60",
    "cap-leads": "18,18",
    "cap-least": "1500",
    "cap-most": "5200",
    "gauges": "18,16",
    "old-screw": "10",
    "screw-thread": "5",
    "spacer-thickness": "6",
    "bracket-thickness": "1.5",
    "hole-depth": "40",
    "radio-fuse-rating": "15",
    "short-to-ground": "1200",
    "small-fuse-current": "1.2",
    "power-on-voltage": "12.5",
    "battery-capacity": "60",
    "sleeping-draw": "22",
}
"""By the step that asks; where there is none, any value inside the limits will do."""
