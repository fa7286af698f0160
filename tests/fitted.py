"""A small procedure in which one step settles what the vehicle has; its facts are invented."""

from baycompanion.procedure.load import load_procedure

FITTED_TEXT = """\
procedure: fitted
title: Try what is fitted
revision: 1
fits: Is there a vehicle?
hazards: none
choices:
  - {choice: roof, title: Opening roof, group: Body}
  - {choice: seats, title: Heated seats, group: Body}
  - {choice: camera, title: Camera, group: Aids}
tools: none
parts: none
phases:
  - phase: work
    title: Work
    target: 5 min
    steps:
      - choose: What does this vehicle have?
        id: fitted
        settles: [roof, seats, camera]
      - inspect: Try every function.
        id: before
        of:
          - {item: horn, name: Horn, group: Body}
          - {item: roof, name: Roof, group: Body, when: {roof: yes}}
          - {item: seats, name: Seats, group: Body, when: {seats: yes}}
      - do: Switch the camera on.
        id: camera-on
        when: {camera: yes}
      - choose: What does the owner say?
        id: asked
        settles: owner
      - record: Write down who agreed.
        id: agreed
        when: {owner: agreed}
        owner-word: agreed
      - record: Write down what is refused.
        id: refused
        when: {owner: refused}
        owner-word: refused
      - inspect: Try every function again.
        id: after
        compares: before
      - check: The bay is swept.
        id: swept
      - do: Give the keys back.
        id: keys
gates:
  - gate: as-before
    holds: keys
    until: [{matching: after}]
    because: The owner tries it.
    override: supervisor
  - gate: nothing-else
    holds: keys
    until: [{no-open-fault: other}]
    because: The owner sees it.
    override: supervisor
""".replace(
    "tools: none",
    "  - {choice: owner, title: Owner, answers: [agreed, refused]}\ntools: none",
)

FITTED = load_procedure(FITTED_TEXT, "fitted.yaml").procedure
