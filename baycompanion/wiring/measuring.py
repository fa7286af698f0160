"""How to find out what a lead is for: measured on the vehicle, read in the leaflet elsewhere.

Common practice, no source; the vehicle maker's diagram goes before all of it.
"""

YELLOW = "yellow"

HOW_TO_MEASURE = (
    "Look in the vehicle maker's diagram first. Keep off any lead in a yellow sleeve or in a "
    "yellow connector: it may fire an airbag. Not every airbag lead is yellow.",
    "Leave the engine off and the wheels chocked. Unplug the connector. Use a meter, never a test "
    "light; put its minus on bare body metal, and note the voltage with the key off.",
    "Note it again with the key at accessory, with the lamps on and the dimmer turned up and "
    "down, and with reverse engaged and the parking brake set.",
    "12 V with the key off: constant-feed. Only from accessory on: switched-feed. Only with the "
    "lamps on: lit-dash-feed, or dimmer where it follows the wheel. Only in reverse: reverse-feed.",
    "No voltage in any of these: take the battery's negative lead off by the maker's "
    "instructions, and measure the resistance to body metal. Below 1 Ω: ground. Only with the "
    "brake set: parking-brake.",
    "No path to ground either, and in the plug of the receiver or an amplifier: measure the "
    "resistance between two such leads; some 2 to 8 Ω is a speaker. Touch the pair with a 1.5 V "
    "cell for a moment: hear which speaker pops, and see its cone move out where the plus of the "
    "cell is at its plus. Never do this at any other plug: an airbag's igniter has some 2 Ω too.",
    "Anything else: leave it alone and insulate it. Never guess.",
)
"""The steps for a lead of the vehicle, in their order."""

IN_THE_LEAFLET = (
    "Read its maker's leaflet for this very model, and write the function that it gives. "
    "Where it gives none, insulate the lead"
)
"""What to do about a lead of the receiver or an extra, which cannot be told by measuring."""
