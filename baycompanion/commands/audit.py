"""`audit`: whether the records of shops are still what they were, and what to look at."""

import shutil
import sys
import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

import click

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import WEIGHTS, Finding
from baycompanion.audit.gate_counts import GateCount
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.commands.opening import shop_folder
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.durable import write_whole
from baycompanion.text.problem import quoted


def audit_shops(
    chosen: Chosen,
    folders: Sequence[str],
    as_json: bool,
    html: str | None,
    since: str | None,
    by: str | None,
    procedure: str | None,
    now: datetime,
) -> int:
    """Print what an audit of the shops in `folders` finds; return 0, 1 with findings, or 2.

    Nothing is made or written in a shop folder; `html` names the file of a page to print.

    Raises:
        StoreTrouble: That file cannot be written.
    """
    if as_json and html is not None:
        raise click.UsageError("--json prints, and --html writes a page. Give one of them.")
    choice = Choice(read_day(since), by or "", procedure or "")
    paths = [Path(name).expanduser() for name in folders] or [shop_folder(chosen)]
    audited = _Audited()
    for path in dict.fromkeys(paths):
        audited.take(path, choice, now)
    audited.findings.sort(key=lambda finding: finding.place)
    if as_json:
        data_json(audited.as_dict())
    elif html is not None:
        data(str(_write_page(audited, choice, Path(html).expanduser(), now)))
    else:
        _print(audited)
    for shop in audited.shops:
        if shop.seal:
            talk(f"{shop.shop}: {shop.seal}.")
    talk(audited.counts)
    if audited.unread:
        return Exit.UNUSABLE
    return Exit.REFUSED if audited.findings else Exit.DONE


def _write_page(audited: "_Audited", choice: Choice, path: Path, now: datetime) -> Path:
    from baycompanion.audit.page import AuditTold, audit_page  # templates, for a page alone

    if not path.name:
        raise click.UsageError(f"{path} is no file. Give --html the name of one.")
    told = AuditTold(audited.shops, audited.findings, audited.unread, audited.counts)
    write_whole(path, audit_page(told, choice, now).encode())
    return path


@dataclass
class _Audited:
    """What came of an audit of some shops."""

    findings: list[Finding] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    shops: list[ShopSeen] = field(default_factory=list)

    def take(self, folder: Path, choice: Choice, now: datetime) -> None:
        """Audit one shop; what cannot be read is told at once."""
        for found in audit_shop(folder, choice, now):
            if isinstance(found, Finding):
                self.findings.append(found)
            elif isinstance(found, ShopSeen):
                self.shops.append(found)
            else:
                self.unread.append(str(found))
                talk(str(found))

    @property
    def counts(self) -> str:
        """How much was found, by weight, and in how many jobs it was looked for."""
        weights = Counter(finding.rule.weight for finding in self.findings)
        told = ", ".join(f"{weights[weight]} {weight}" for weight in WEIGHTS if weights[weight])
        found = f"{_counted(len(self.findings), 'finding')}: {told}." if told else "No findings."
        jobs = _counted(sum(shop.jobs for shop in self.shops), "job")
        unread = f" Not read: {len(self.unread)}." if self.unread else ""
        return f"{found} Looked at: {jobs} in {_counted(len(self.shops), 'shop')}.{unread}"

    def as_dict(self) -> dict[str, Any]:
        """Return it as programs read it."""
        return {
            "shops": [
                {"shop": shop.shop, "jobs": shop.jobs, "seal": shop.seal or None}
                for shop in self.shops
            ],
            "gates": [
                {"shop": shop.shop, **gate.as_dict()} for shop in self.shops for gate in shop.gates
            ],
            "findings": [finding.as_dict() for finding in self.findings],
            "unread": self.unread,
        }


def read_day(text: str | None) -> str:
    """Return the day in `text` as the journal writes it.

    Raises:
        UsageError: It is no date.
    """
    try:
        return date.fromisoformat(text).isoformat() if text is not None else ""
    except ValueError:
        told = f"{quoted(text or '')} is no date. Write it like 2026-03-02."
        raise click.UsageError(told) from None


def _print(audited: _Audited) -> None:
    """Print the gates, then the findings by weight: rule, evidence and sentence of each."""
    for seen in audited.shops:
        _print_gates(seen, named=len(audited.shops) > 1)
    for weight, findings in groupby(audited.findings, key=lambda each: each.rule.weight):
        data(weight.upper())
        for finding in findings:
            shop = finding.shop if len(audited.shops) > 1 else ""
            where = [each for each in (shop, finding.job, finding.evidence) if each]
            data(f"  {finding.rule.id}: {' · '.join(where) or 'the whole shop'}")
            for line in _lines(finding.sentence):
                data(f"    {line}")


def _print_gates(shop: ShopSeen, named: bool) -> None:
    """Print in how many jobs each gate was reached, and what came of it: the gates come first."""
    if shop.gates:
        data(f"GATES · {shop.shop}" if named else "GATES")
    for (procedure, revision), gates in groupby(
        shop.gates, key=lambda gate: (gate.procedure, gate.revision)
    ):
        counted = list(gates)
        wide = min(LONGEST_GATE, max(len(gate.gate) for gate in counted))
        data(f"  {procedure}, revision {revision}, in jobs:")
        data(f"    {'':{wide}} reached passed overridden held not applicable")
        for gate in counted:
            data(_gate_row(gate, wide))
            for told in _causes(gate):
                first, *rest = _lines(told, indent=8)
                for line in (f"      {first}", *(f"        {line}" for line in rest)):
                    data(line)


def _causes(gate: GateCount) -> Iterator[str]:
    """Yield why a gate was overridden and what held it, each with how often."""
    for reason, often in gate.reasons.most_common():
        yield f"overridden: {reason} ({often})"
    for cause, often in gate.waited_for.most_common(MOST_CAUSES):
        yield f"held by: {cause} ({often})"


LONGEST_GATE = 34
"""Characters for the name of a gate, so that a row fits 80 columns; a longer one pushes it."""

MOST_CAUSES = 3
"""What a gate waited for most often, as many as are printed; --json has all."""


def _gate_row(gate: GateCount, wide: int) -> str:
    return (
        f"    {gate.gate:{wide}} {gate.reached:7} {gate.passed:6} {gate.overridden:10} "
        f"{gate.held:4} {gate.not_applicable:14}"
    )


def _lines(sentence: str, indent: int = 4) -> list[str]:
    """Return a sentence in lines that fit the terminal; elsewhere it stays on one."""
    if not sys.stdout.isatty():
        return [sentence]
    width = max(40, shutil.get_terminal_size().columns - indent)
    return textwrap.wrap(sentence, width, break_long_words=False, break_on_hyphens=False)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
