"""`audit`: whether the records of shops are still what they were, and what to look at."""

import shutil
import sys
import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

import click

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import WEIGHTS, Finding
from baycompanion.audit.reading.all_jobs import HashedAgain, Trust, Way
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.audit.rules.lots import Drawn, Lots
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.commands.opening import shop_paths
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.page_file import write_page
from baycompanion.store.typed_path import typed_path
from baycompanion.text.counted import counted
from baycompanion.text.problem import quoted


def audit_shops(
    chosen: Chosen,
    folders: Sequence[str],
    as_json: bool,
    html: str | None,
    trust: Trust,
    only_open: bool,
    draw: int | None,
    since: str | None,
    by: str | None,
    procedure: str | None,
    now: datetime,
) -> int:
    """Print what an audit of the shops in `folders` finds; return 0, 1 with findings, or 2.

    `draw` adds which jobs are looked at on the vehicle, so many clean ones among them. With
    `only_open`, what somebody has looked at already is left out, and only counted.

    In a shop folder only the index is written, and with `trust` in nothing not even that; `html`
    names the file of a page to print.

    Raises:
        StoreTrouble: That file cannot be written.
    """
    if as_json and html is not None:
        raise click.UsageError("--json prints, and --html writes a page. Give one of them.")
    choice = Choice(read_day(since), by or "", procedure or "")
    paths = shop_paths(chosen, folders)
    audited = _Audited(choice)
    with Readers() as readers:
        for path in paths:
            audited.take(path, now, Way(readers, trust), draw)
    if only_open:
        audited.leave_out_looked_at()
    audited.findings.sort(key=lambda finding: finding.place)
    if as_json:
        data_json(audited.as_dict())
    elif html is not None:
        data(str(_write_page(audited, typed_path(html), now)))
    else:
        _print(audited)
        _print_drawn(audited)
    for shop in audited.shops:
        if shop.seal:
            talk(f"{shop.shop}: {shop.seal}.")
        if shop.hashed is not None:
            talk(f"{shop.shop}: {_hashed(shop.hashed)}")
    talk(audited.counts)
    if audited.unread:
        return Exit.UNUSABLE
    return Exit.REFUSED if audited.findings else Exit.DONE


def _write_page(audited: "_Audited", path: Path, now: datetime) -> Path:
    from baycompanion.audit.page import AuditTold, audit_page  # templates, for a page alone

    if not path.name:
        raise click.UsageError(f"{path} is no file. Give --html the name of one.")
    told = AuditTold(audited.shops, audited.findings, audited.unread, audited.counts, audited.drawn)
    write_page(path, audit_page(told, audited.choice, now).encode())
    return path


def _hashed(hashed: HashedAgain) -> str:
    """Return what was read and hashed whatever its stamp says, in a sentence."""
    size = f"{hashed.size / 1e6:,.1f} MB" if hashed.size >= 100_000 else f"{hashed.size:,} bytes"
    return (
        f"every file of the jobs was read and hashed again, {counted(hashed.files, 'file')} with "
        f"{size}; {hashed.behind} changed behind an unchanged size and time."
    )


@dataclass
class _Audited:
    """What came of an audit of some shops."""

    choice: Choice
    """The jobs that are looked at."""
    findings: list[Finding] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    shops: list[ShopSeen] = field(default_factory=list)
    drawn: list[Drawn] = field(default_factory=list)
    """Jobs to look at on the vehicle, where they are asked for."""
    left_out: int = 0
    """Findings that somebody has looked at, where only the others are asked for."""

    def take(self, folder: Path, now: datetime, way: Way, draw: int | None) -> None:
        """Audit one shop; what cannot be read is told at once."""
        lots = Lots(draw or 0, f"{now:%Y-%m-%d}")

        def keep(work: WorkFacts) -> None:
            lots.take(work.job, work.lot, [each.gate for each in work.overrides])

        keeps = keep if draw is not None else None
        for found in audit_shop(folder, self.choice, now, way, keep=keeps):
            if isinstance(found, Finding):
                self.findings.append(found)
            elif isinstance(found, ShopSeen):
                self.shops.append(found)
            else:
                self.unread.append(str(found))
                talk(str(found))
        self.drawn += [replace(each, shop=str(folder)) for each in lots.drawn]

    def leave_out_looked_at(self) -> None:
        """Keep the findings that nobody has looked at yet."""
        found, self.findings = self.findings, [f for f in self.findings if f.looked_at is None]
        self.left_out = len(found) - len(self.findings)

    @property
    def counts(self) -> str:
        """How much was found, by weight, and in how many jobs it was looked for."""
        weights = Counter(finding.rule.weight for finding in self.findings)
        told = ", ".join(f"{weights[weight]} {weight}" for weight in WEIGHTS if weights[weight])
        none = "No findings in what was read." if self.unread else "No findings."
        found = f"{counted(len(self.findings), 'finding')}: {told}." if told else none
        looked = sum(finding.looked_at is not None for finding in self.findings)
        found += f" Already looked at: {looked}." if looked else ""
        found += f" Left out as looked at: {self.left_out}." if self.left_out else ""
        jobs = sum(shop.jobs for shop in self.shops)
        looked_at = f"Looked at: {counted(jobs, 'job')} in {counted(len(self.shops), 'shop')}."
        unread = f"Not read: {len(self.unread)}." if self.unread else ""
        gone = any(finding.job for finding in self.findings)  # looked for, and not there
        some = jobs or gone or self.left_out or self.unread
        none_fits = "" if some else self.choice.fits_none
        return " ".join(filter(None, (found, looked_at, unread, none_fits)))

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
            "drawn": [each.as_dict() for each in self.drawn],
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
            for told in (finding.sentence, *finding.told_words):
                for line in _lines(told):
                    data(f"    {line}")


def _print_drawn(audited: _Audited) -> None:
    """Print which jobs are looked at on the vehicle, and what is measured there once more."""
    if audited.drawn:
        data("TO LOOK AT ON THE VEHICLE")
    for each in audited.drawn:
        shop = each.shop if len(audited.shops) > 1 else ""
        data(f"  {' · '.join(part for part in (shop, each.job, each.vehicle, each.why) if part)}")
        for line in _lines(each.asks):
            data(f"    {line}")


def _print_gates(shop: ShopSeen, named: bool) -> None:
    """Print in how many jobs each gate was reached, and what came of it: the gates come first."""
    if shop.gates:
        data(f"GATES · {shop.shop}" if named else "GATES")
    for (procedure, revision), gates in groupby(
        shop.gates, key=lambda gate: (gate.procedure, gate.revision)
    ):
        fared = list(gates)
        wide = min(LONGEST_GATE, max(len(gate.gate) for gate in fared))
        data(f"  {procedure}, revision {revision}, in jobs:")
        data(f"    {'':{wide}} reached passed overridden held not applicable")
        for gate in fared:
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
    if (more := len(gate.waited_for) - MOST_CAUSES) > 0:
        yield f"held by {more} more; baycompanion review lists them"


LONGEST_GATE = 34
"""Characters for the name of a gate, so that a row fits 80 columns; a longer one pushes it."""

MOST_CAUSES = 3
"""What a gate waited for most often, as many as are printed; --json and the review have all."""


def _gate_row(gate: GateCount, wide: int) -> str:
    return (
        f"    {gate.gate:{wide}} {gate.reached:7} {gate.passed:6} {gate.overridden:10} "
        f"{gate.held:4} {gate.not_applicable:14}"
    )


def _lines(sentence: str, indent: int = 4) -> list[str]:
    """Return a sentence in lines that fit the terminal; elsewhere it stays on one."""
    if not sys.stdout.isatty():
        return [sentence] if sentence else []
    width = max(40, shutil.get_terminal_size().columns - indent)
    return textwrap.wrap(sentence, width, break_long_words=False, break_on_hyphens=False)
