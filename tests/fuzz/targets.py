"""Every parser of the project, each as one function of bytes.

What is read is looked at as the program would: a journal is folded and shown, a procedure checked.
"""

import hashlib
import json
import shutil
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import orjson
from bay import LISTS, SMALL_TEXT, T1
from click.testing import CliRunner
from ground import LEARNER, NOW, STAFF, Ground
from lamp import SCRIPT as LAMP
from mutations import Kind
from refusals import assert_sentence

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.gathering import facts_of
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.reading.index import NAME as AUDIT_INDEX
from baycompanion.audit.reading.index import AuditIndex
from baycompanion.audit.reading.kept_walk import CameTo, KeptWalk
from baycompanion.audit.rules.course import LastWord
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.audit.tables.columns import TABLES, VERSION
from baycompanion.audit.tables.table_folders import MARK, read_tables_folder
from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.job.events.moment import day_of
from baycompanion.job.state.parts_order import read_order
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.learning.drill.deck import make_deck
from baycompanion.learning.drill.schedule import drill_standing
from baycompanion.play.learning import Learnt
from baycompanion.play.run import play
from baycompanion.play.script import names_that_lead_nowhere, read_script
from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Shared
from baycompanion.store.job import journal
from baycompanion.store.job.done_right import done_right
from baycompanion.store.job.draft import CARD, FORM
from baycompanion.store.job.folder import (
    RECORD,
    has_record,
    read_job,
    read_job_as_far,
    record_bytes,
    record_of,
)
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.past_times import past_jobs
from baycompanion.store.kept_board import NAME as KEPT
from baycompanion.store.kept_board import (
    KeptBoard,
    hash_of_board,
    keep,
    state_of_shop,
)
from baycompanion.store.ledger import ledger
from baycompanion.store.ledger.seals import SEALS, PublicKey, known_keys
from baycompanion.store.reading import as_text, read_text
from baycompanion.store.recalls import due_counts, read_recalls
from baycompanion.store.review import NAME as REVIEW
from baycompanion.store.review import read_review
from baycompanion.store.settings import SETTINGS
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pin_tries import NAME as PIN_TRIES
from baycompanion.store.staff.pin_tries import WrongPin, try_pin
from baycompanion.store.staff.pins import hash_pin
from baycompanion.store.staff.rewriting import rewritten
from baycompanion.store.staff.staff import staff_in
from baycompanion.store.staff.staff_log import NAME as STAFF_LOG
from baycompanion.store.staff.staff_log import read_staff_log, readable_lines
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean
from baycompanion.text.to_model import to_model
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.trade.catalogue import SUMS, work
from baycompanion.views.board.line import BoardLine
from baycompanion.views.card.cards import job_card
from baycompanion.views.card.place import where
from baycompanion.views.event_words import event_line
from baycompanion.views.timeline.lines import told_lines
from baycompanion.wiring.connector import read_connector
from baycompanion.wiring.plan import plan_splices
from baycompanion.working.board.glance import board_glanced
from baycompanion.working.board.keeping import board_kept
from baycompanion.working.board.reading import board_lines, read_board
from baycompanion.working.hand_over import hand_over_page
from baycompanion.working.small_photo import make_small

Read = Callable[[Ground, bytes], object]
Seeds = Callable[[Ground], Sequence[bytes]]


@dataclass(frozen=True, slots=True)
class Target:
    """One parser: what it is fed with, and how."""

    name: str
    kind: Kind
    seeds: Seeds
    read: Read
    share: int = 1
    """How many inputs it gets for each one of a slow parser."""


def _text(content: bytes) -> str:
    return as_text(content, Path("any.yaml"))


def _files(*paths: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted(paths)]


# --- YAML files --------------------------------------------------------------------------------


def _procedure(ground: Ground, content: bytes) -> None:
    loaded = load_procedure(_text(content), "any.yaml", _shared_files)
    for problem in (*check(loaded, SUMS), *check_language(loaded)):
        assert_sentence(str(problem))
    make_deck(loaded.procedure)


def _shared_files(name: str) -> tuple[str, str] | None:
    path = shipped("procedures") / name
    return (name, path.read_text(encoding="utf-8")) if name.startswith("shared/") else None


def _procedures(ground: Ground) -> list[bytes]:
    whole = Path(__file__).parents[1] / "procedure" / "whole.yaml"
    return [SMALL_TEXT.encode(), *_files(whole)]


def _include(ground: Ground, content: bytes) -> None:
    """Read a procedure from the shelf that includes what is fed in, under its own name as well."""
    folder = ground.shop.procedures
    (folder / "shared").mkdir(exist_ok=True)
    (folder / "shared" / "any.yaml").write_bytes(content)
    (folder / "main.yaml").write_text(INCLUDING, encoding="utf-8")
    check(read_procedure(folder / "main.yaml"), SUMS)
    to_model(Shared, read_yaml(_text(content), "any.yaml"))


INCLUDING = SMALL_TEXT.replace("phases:\n", "phases:\n  - include: shared/any.yaml\n", 1)


def _includes(ground: Ground) -> list[bytes]:
    nested = b"shared: any\nphases:\n  - include: shared/before-work.yaml\n  - include: ../x\n"
    return [*_files(*(shipped("procedures") / "shared").glob("*.yaml")), nested]


def _script(ground: Ground, content: bytes) -> None:
    read = read_script(_text(content), "any.yaml")
    assert read.lasts >= 0
    procedure = load_procedure(SMALL_TEXT, "small.yaml").procedure
    for problem in names_that_lead_nowhere(read, procedure):
        assert_sentence(str(problem))


def _play(ground: Ground, content: bytes) -> None:
    """Play a script into a shop, action by action, and take its job away again."""
    read = read_script(_text(content), "any.yaml")
    lamps = ground.lamps
    try:
        played = play(read, lamps.folder, lamps, read.script.start or NOW)
        if played.stop is not None:
            assert_sentence(str(played.stop))
            raise StoreTrouble(str(played.stop))
    finally:
        _take_away(lamps.jobs)


def _take_away(jobs: Path) -> None:
    """Take the jobs away, and the ledger that tells of them."""
    for folder in jobs.iterdir():
        shutil.rmtree(folder)
    (jobs.parent / ledger.NAME).unlink(missing_ok=True)


def _learning(ground: Ground, content: bytes) -> None:
    to_model(Learnt, read_yaml(_text(content), "any.yaml"))


def _staff(ground: Ground, content: bytes) -> None:
    """Read a staff file, and write it anew with one more change, as a command does."""
    text = _text(content)
    members = staff_in(text, "any.yaml")
    first = next(iter(members))
    changed = {**members, first: members[first].model_copy(update={"initials": "XY"})}
    rewritten(text, changed, "any.yaml")


def _staff_files(ground: Ground) -> list[bytes]:
    pin = f"staff:\n  - id: T1\n    role: technician\n    pin: {hash_pin('4711')}  # kept\n"
    return [STAFF.encode(), pin.encode(), *_files(shipped("demo") / "shop" / "staff.yaml")]


def _shop(ground: Ground, content: bytes) -> None:
    (ground.shop.folder / SETTINGS).write_bytes(content)
    open_shop(ground.shop.folder)


def _shop_files(ground: Ground) -> list[bytes]:
    own = b"name: x\nregion: itu2\ncaps:\n  - grey 1500-6500\n  - red 700-3000\nlock-after: 3\n"
    return [own, *_files(shipped("demo") / "shop" / "shop.yaml")]


def _connector(ground: Ground, content: bytes) -> None:
    other = shipped("demo") / "connectors" / "amplifier.yaml"
    connector = read_connector(_text(content), "any.yaml")
    plan = plan_splices([connector, read_connector(read_text(other), other.name)], [])
    for each in (*plan.joins, *plan.left_over, *plan.problems):
        assert clean(str(each)) == str(each)


def _order(ground: Ground, content: bytes) -> None:
    read_order(_text(content), "any.yaml")


# --- lines tied by hashes ----------------------------------------------------------------------


def _journal(ground: Ground, content: bytes) -> None:
    """Read a journal as every command does that shows a job, and as an audit does."""
    path = ground.job / journal.NAME
    path.write_bytes(content)
    _audited(ground)
    _listed(ground)
    job, trouble = read_job_as_far(ground.job)
    if trouble is not None:
        assert_sentence(str(trouble))
    job_card(job.procedure, job.state, ground.shop.reasons, NOW)
    where(job.procedure, job.state)
    for _ in told_lines(job.procedure, make_timeline(job.procedure, job.events), NOW.tzinfo):
        pass
    for event in job.events:
        event_line(event, job.procedure)
    record_bytes(record_of(job))
    hand_over_page(ground.shop, job, NOW)
    read_job(ground.job)


def _listed(ground: Ground) -> None:
    """List the job, and see that a glance at it shows nothing else, nor what cannot be shown."""
    read = board_lines(read_board(ground.shop.jobs), NOW, {}, {})
    glance = board_glanced(ground.shop.folder)
    for line in glance.lines if glance is not None else ():
        assert clean(line.text) == line.text
    if glance is not None and all(line.kind != "trouble" for line in read):
        for line, so in zip(glance.lines, read, strict=True):
            assert (line.kind, line.opens) == (so.kind, so.opens)
            assert clean(so.text).startswith(line.text)


def _audited(ground: Ground) -> None:
    facts = facts_of(JobFiles(ground.job), [], False)
    for told in (*facts.unread, *(finding.sentence for finding in facts.findings)):
        assert_sentence(told)


def _journals(ground: Ground) -> Sequence[bytes]:
    return ground.journals


def _open(ground: Ground, content: bytes) -> None:
    """Open a job for work, which mends a torn line and writes what is missing."""
    path = ground.job / journal.NAME
    path.write_bytes(content)
    try:
        OpenJob(ground.job, LISTS, T1, NOW).leave()
    finally:
        path.write_bytes(ground.journals[-1])
        (ground.shop.folder / ledger.NAME).write_bytes(ground.ledger)


def _ledger(ground: Ground, content: bytes) -> None:
    path = ground.bare / ledger.NAME
    path.write_bytes(content)
    _audit_of_shop(ground)
    list(ledger.read_readable(path, "20260302"))
    with ledger.held_ledger(ground.bare) as held:
        held.entries_of(ground.job.name)


def _audit_of_shop(ground: Ground) -> None:
    """Audit the bare shop, and see that whatever is found can be shown."""
    for found in audit_shop(ground.bare, Choice(), NOW):
        if isinstance(found, Finding):
            assert_sentence(found.sentence)
        elif isinstance(found, StoreTrouble):
            assert_sentence(str(found))
        else:
            assert isinstance(found, ShopSeen)


def _recalls(ground: Ground, content: bytes) -> None:
    ground.recalls_path.write_bytes(content)
    due_counts(ground.shop.folder, NOW)
    events = read_recalls(ground.shop.folder, LEARNER.id)
    drill_standing(make_deck(load_procedure(SMALL_TEXT, "small.yaml").procedure), events, NOW)


def _review(ground: Ground, content: bytes) -> None:
    (ground.bare / REVIEW).write_bytes(content)
    review = read_review(ground.bare)
    for words in (*review.looked.values(), *review.decisions.values()):
        assert all(clean(word.words) == word.words for word in words)
    _audit_of_shop(ground)


def _staff_log(ground: Ground, content: bytes) -> None:
    path = ground.bare / STAFF_LOG
    path.write_bytes(content)
    readable_lines(path)
    _audit_of_shop(ground)
    read_staff_log(path)


# --- JSON files --------------------------------------------------------------------------------


def _record(ground: Ground, content: bytes) -> None:
    """Read a record as the audit, the ready-by times, the fading and the opening of a job do."""
    (ground.job / journal.NAME).write_bytes(ground.journals[-1])
    (ground.job / RECORD).write_bytes(content)
    _audited(ground)
    has_record(ground.job, "ab")
    for past in past_jobs(ground.shop.jobs):
        if isinstance(past, StoreTrouble):
            assert_sentence(str(past))
    done_right(ground.shop.jobs, "small-receiver", "T1", 3)


def _draft(ground: Ground, content: bytes) -> None:
    (ground.held / CARD).write_bytes(content)
    (ground.held / FORM).write_bytes(content)
    for name, typed in _at_work(ground.held).draft_for("gauges").items():
        assert (clean(name), clean(typed)) == (name, typed)


@cache
def _at_work(folder: Path) -> OpenJob:
    """Return the job in `folder`, opened once and given back when the process ends."""
    return OpenJob(folder, LISTS, T1, NOW)


def _drafts(ground: Ground) -> list[bytes]:
    return [json.dumps({"step": "gauges", "fields": {"entry": "18", "entries": "[1]"}}).encode()]


_KEPT = hash_pin("4711")


def _pin_tries(ground: Ground, content: bytes) -> None:
    (ground.shop.folder / PIN_TRIES).write_bytes(content)
    try:
        try_pin(ground.shop.folder, "T1", "", _KEPT.replace("n=", "m="), NOW)
    except WrongPin as wrong:
        assert_sentence(str(wrong))


def _tries(ground: Ground) -> list[bytes]:
    return [
        b'{"t1":{"tries":4,"last":"2026-03-20T08:00:00.000Z"},"s1":{"tries":1,'
        b'"last":"2026-03-20T08:59:58.000Z"}}'
    ]


def _tables(ground: Ground, content: bytes) -> None:
    folder = ground.shop.folder / "tables"
    folder.mkdir(exist_ok=True)
    for table in TABLES:
        (folder / f"{table.name}.ndjson").touch()
    (folder / MARK).write_bytes(content)
    read_tables_folder(folder)


def _marks(ground: Ground) -> list[bytes]:
    told = {"version": VERSION, "format": "ndjson", "shops": ["a"], "tables": {"jobs": {"rows": 1}}}
    return [json.dumps(told).encode()]


# --- other bytes -------------------------------------------------------------------------------


def _key(ground: Ground, content: bytes) -> None:
    folder = ground.shop.folder / SEALS
    folder.mkdir(exist_ok=True)
    (folder / "S1-ab.pem").write_bytes(content)
    for key in known_keys(ground.shop.folder):
        if not isinstance(key, PublicKey):
            raise key


def _keys(ground: Ground) -> list[bytes]:
    """Return the public key of RFC 8410, section 10.1, as it stands there."""
    pem = "MCowBQYDK2VwAyEAGb9ECWmEzf6FQbrBZ9w7lshQhqowtrbLDFw4rXAxZuE="
    return [f"-----BEGIN PUBLIC KEY-----\n{pem}\n-----END PUBLIC KEY-----\n".encode()]


def _picture(ground: Ground, content: bytes) -> None:
    small = make_small(content, 40)
    if isinstance(small, str):
        raise StoreTrouble(f"{small}.")


def _pictures(ground: Ground) -> list[bytes]:
    from lamp import PICTURE

    return [PICTURE, b"GIF89a\x01\x00\x01\x00\x00\x00\x00,\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02"]


def _sum(ground: Ground, content: bytes) -> None:
    """Work a sum whose name and inputs are lines of the text, as the command line takes them."""
    name, *words = content.decode("utf-8", "surrogateescape").split("\n")
    given = dict(word.partition("=")[::2] for word in words)
    try:
        work(name, given)
    except ValueError as refused:
        raise StoreTrouble(f"{str(refused).rstrip('.')}.") from None


def _sums(ground: Ground) -> list[bytes]:
    from sum_examples import example_of

    return [
        "\n".join([name, *(f"{key}={value}" for key, value in example_of(kind).items())]).encode()
        for name, kind in SUMS.items()
    ]


def _command(ground: Ground, content: bytes) -> None:
    """Type a command line; the first line says which, the rest is what stands in it.

    Only commands are typed that write nowhere but in their shop.
    """
    first, _, typed = content.decode("utf-8", "surrogateescape").partition("\n")
    words = COMMANDS[sum(first.encode("utf-8", "surrogateescape")) % len(COMMANDS)].split()
    line = ["--shop", str(ground.lamps.folder)]
    result = CliRunner().invoke(
        cli,
        [
            *(word.replace("@", typed) for word in words[:1]),
            *line,
            *(word.replace("@", typed) for word in words[1:]),
        ],
    )
    told = result.stdout + result.stderr
    _take_away(ground.lamps.jobs)
    assert result.exit_code in (Exit.DONE, Exit.REFUSED, Exit.UNUSABLE, Exit.TROUBLE), told
    assert clean(told) == told
    if result.exit_code in (Exit.UNUSABLE, Exit.TROUBLE):
        raise StoreTrouble(result.stderr.split("\n")[0])


def _kept_walk(ground: Ground, content: bytes) -> None:
    """Tell what an index says that an audit came to, its hashes made anew as a forger can."""
    try:
        with closing(AuditIndex(ground.bare)) as index:
            kept = KeptWalk(ground.bare, ground.bare / "jobs", index, day_of(NOW))
            kept.keep(NOTHING_FOUND, hashlib.sha256().hexdigest())
            rests_on, _ = index.walk() or ("", b"")
            index.keep_walk(rests_on, content)
            told = kept.still()
        for found in audit_shop(ground.bare, Choice(), NOW, Way(trust="stamps")):
            if isinstance(found, Finding):
                assert clean(found.sentence) == unicodedata.normalize("NFC", found.sentence)
    finally:
        (ground.bare / AUDIT_INDEX).unlink(missing_ok=True)
    if told is None:
        raise StoreTrouble("Nothing is told of it.")


NOTHING_FOUND = CameTo([], 0, "", [])


def _walks(ground: Ground) -> list[bytes]:
    found = Finding(Rule("record-differs", "grave"), "It differs.", "20260302-wo-7", (2,), (1,))
    gates = [GateCount("lamp", 2, "lamp-proved", reached=3, reasons=Counter({"lunch": 1}))]
    whole = CameTo([found, LastWord("20260302-wo-8", 4, 1_772_000_000_000)], 2, "sealed", gates)
    return [orjson.dumps(whole)]


def _kept_boards(ground: Ground) -> list[bytes]:
    lines = (
        BoardLine("heading", "UNDER WAY"),
        BoardLine("job", "WO 7 · Blue van", "Bench · step 3 of 9\nnow: Look.", "20260302-wo-7"),
        BoardLine("ended", "2026-03-01 · WO 6 · Blue van · closed", opens="20260301-wo-6"),
    )
    keep(ground.bare, KeptBoard(state_of_shop(ground.bare).of_rest(()), (), "A shop", lines))
    path = ground.bare / KEPT
    content = path.read_bytes()
    path.unlink()
    return [content]


def _kept_board(ground: Ground, content: bytes) -> None:
    """Read the lines kept of a board as they are, then with state and hash made as a forger can."""
    path = ground.bare / KEPT
    try:
        for each in (content, _forged_board(ground.bare, content)):
            path.write_bytes(each)
            kept = board_kept(ground.bare, NOW)
            for line in kept.lines if kept is not None else ():
                assert clean(line.text) == line.text
                assert clean(line.told) == line.told
    finally:
        path.unlink()
    if kept is None:
        raise StoreTrouble("Nothing is shown of it.")


def _forged_board(shop: Path, content: bytes) -> bytes:
    try:
        board = json.loads(content)["board"]
        board[:2] = [state_of_shop(shop).of_rest(()), []]
    except (ValueError, KeyError, TypeError, RecursionError):
        return content
    return json.dumps({"board": board, "hash": hash_of_board(board)}).encode()


_START = "start --by=T1 --json lamp"
COMMANDS = (
    f"{_START} --work-order=@ --vehicle=v",
    f"{_START} --work-order=1 --vehicle=@",
    f"{_START} --work-order=1 --vehicle=v --vin=@",
    f"{_START} --work-order=1 --vehicle=v --mentor=@",
    "start --work-order=1 --vehicle=v --json lamp --by=@",
    "record -- @",
    "timeline -- @",
    "handover -- @",
    "audit --since=@",
    "audit --by=@ --procedure=@",
    "sum -- splice awg=@",
    "sum -- @",
    "staff add --role=technician --by=S1 -- @",
    "staff retire --by=S1 -- @",
)
"""What is typed, with a sign where the input goes in."""


def _commands(ground: Ground) -> list[bytes]:
    typed = ("18,18", "T1", "2026-03-02")
    return [f"{chr(97 + n)}\n{word}".encode() for n in range(len(COMMANDS)) for word in typed]


def _all() -> Iterator[Target]:
    demo = shipped("demo")
    yield Target("procedure", "yaml", _procedures, _procedure)
    yield Target("include", "yaml", _includes, _include)
    yield Target("script", "yaml", lambda _: _files(demo / "half-way.yaml"), _script)
    yield Target("play", "yaml", lambda _: [LAMP.encode()], _play)
    yield Target("learning", "yaml", lambda _: _files(*(demo / "learning").iterdir()), _learning, 4)
    yield Target("staff", "yaml", _staff_files, _staff, 4)
    yield Target("shop", "yaml", _shop_files, _shop, 4)
    yield Target(
        "connector", "yaml", lambda _: _files(*(demo / "connectors").iterdir()), _connector, 4
    )
    yield Target("order", "yaml", lambda _: _files(*(demo / "orders").iterdir()), _order, 4)
    yield Target("journal", "chain", _journals, _journal)
    yield Target("open-job", "chain", _journals, _open)
    yield Target("ledger", "chain", lambda ground: [ground.ledger], _ledger, 2)
    yield Target("recalls", "chain", lambda ground: [ground.recalls], _recalls, 4)
    yield Target("review", "chain", lambda ground: [ground.review], _review, 2)
    yield Target("staff-log", "chain", lambda ground: [ground.staff_log], _staff_log, 2)
    yield Target("record", "json", lambda ground: [ground.record], _record)
    yield Target("draft", "json", _drafts, _draft, 4)
    yield Target("pin-tries", "json", _tries, _pin_tries, 4)
    yield Target("kept-board", "json", _kept_boards, _kept_board, 4)
    yield Target("kept-walk", "json", _walks, _kept_walk, 2)
    yield Target("tables-mark", "json", _marks, _tables, 4)
    yield Target("seal-key", "bytes", _keys, _key, 4)
    yield Target("picture", "bytes", _pictures, _picture, 4)
    yield Target("command", "bytes", _commands, _command)
    yield Target("sum", "bytes", _sums, _sum, 4)


TARGETS = {target.name: target for target in _all()}
