"""Checking a loaded procedure for what its models cannot see; each check stands in `checks/`."""

from baycompanion.procedure.checks.bench import check_bench
from baycompanion.procedure.checks.choices import check_choices
from baycompanion.procedure.checks.faults import check_faults
from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.checks.gates import check_gates, check_witnesses
from baycompanion.procedure.checks.names import check_names
from baycompanion.procedure.checks.panels import check_panels
from baycompanion.procedure.checks.step_references import check_references
from baycompanion.procedure.checks.steps import check_steps
from baycompanion.procedure.checks.sums import Sums, check_sums
from baycompanion.procedure.checks.tray import check_tray
from baycompanion.procedure.load import Loaded
from baycompanion.text.problem import Problem


def check(loaded: Loaded, sums: Sums) -> list[Problem]:
    """Return everything wrong with a procedure that fits its models, in order of place.

    Names that lead nowhere, gates that can never open, choices nobody makes, steps no path
    reaches, things not on the bench in time, and what is missing. `sums` are the sums that its
    steps may work, by name.
    """
    findings = Findings.on(loaded)
    found = [
        *check_names(findings),
        *check_references(findings),
        *check_choices(findings),
        *check_gates(findings),
        *check_witnesses(findings),
        *check_bench(findings),
        *check_steps(findings),
        *check_panels(findings),
        *check_sums(findings, sums),
        *check_tray(findings),
        *check_faults(findings),
    ]
    return sorted(dict.fromkeys(found))
