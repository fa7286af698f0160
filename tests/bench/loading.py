"""Loading a procedure, against what the YAML loader alone takes for the same text.

    python tests/bench/loading.py [--pairs 25] [--steps 120]

The bare way is the C loader of the YAML library where it is there: it gives plain values, and knows
nothing of places, models or findings. Building the models is paid once and not counted here: see
start.py. Growth is shown over a quarter and four times the steps.
"""

import argparse

import yaml
from long_procedure import procedure_text
from pairs import in_pairs, timed

from baycompanion.procedure.load import load_procedure
from baycompanion.text.yaml_nodes import read_yaml

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def main() -> None:
    """Measure three sizes."""
    told = argparse.ArgumentParser(description="Loading a procedure.")
    told.add_argument("--pairs", type=int, default=25)
    told.add_argument("--steps", type=int, default=120)
    asked = told.parse_args()
    for steps in (asked.steps // 4, asked.steps, asked.steps * 4):
        text = procedure_text(steps)

        def bare(text: str = text) -> object:
            return yaml.load(text, LOADER)

        whole = in_pairs(
            lambda text=text: timed(lambda: load_procedure(text, "long.yaml")),
            lambda: timed(bare),
            asked.pairs,
        )
        whole.told(f"Loading {steps} steps, {len(text) / 1000:.0f} kB", "1.5 times at most")
        nodes = in_pairs(
            lambda text=text: timed(lambda: read_yaml(text, "long.yaml")),
            lambda: timed(bare),
            asked.pairs,
        )
        nodes.told("  of it, into nodes with places", "no more than the rest leaves")


if __name__ == "__main__":
    main()
