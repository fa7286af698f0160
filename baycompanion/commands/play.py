"""`play`: a whole job from a script, without screens."""

from datetime import datetime

from baycompanion.commands.opening import opened, typed_again
from baycompanion.commands.summary import summary
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_bytes, talk
from baycompanion.play.run import Played, play
from baycompanion.play.script import read_script
from baycompanion.store.job.folder import RECORD, read_job, record_bytes, record_of
from baycompanion.store.reading import read_text
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.working.hand_over import SHEET


def play_script(chosen: Chosen, script: str, as_json: bool, now: datetime) -> int:
    """Play the script in the file `script`; where it gives no start, its job begins `now`."""
    path = typed_path(script)
    try:
        text = read_text(path)
    except StoreTrouble as trouble:  # a script that cannot be read is a bad one
        talk(str(trouble))
        return Exit.UNUSABLE
    read = read_script(text, script)
    shop = opened(chosen)
    played = play(read, path.parent, shop, read.script.start or now)
    tell_played(played, as_json)
    if played.stop is None:
        return Exit.DONE
    talk(str(played.stop))
    if played.state.status != "abandoned":
        again = typed_again(f"resume {played.folder.name}", chosen)
        talk(f"The job is kept as it stands. In a terminal, go on with: {again}")
    return Exit.REFUSED


def tell_played(played: Played, as_json: bool) -> None:
    """Print what came of a job that was played: its record, or a summary and where it lies."""
    if played.no_sheet:
        talk(played.no_sheet)
    record = record_of(read_job(played.folder))
    if as_json:
        data_bytes(record_bytes(record))
        return
    for line in summary(record):
        data(line)
    written = played.folder / RECORD
    name, path = ("Record", written) if written.is_file() else ("Job", played.folder)
    if (played.folder / SHEET).is_file():
        data(f"{'Hand-over':<12}{played.folder / SHEET}")
    data(f"{name:<12}{path}")
