"""`record`: the record of a job, as a file or printed."""

from baycompanion.commands.opening import found_shop, read_one
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_bytes, talk
from baycompanion.store.job.folder import record_bytes, record_of, write_record


def make(chosen: Chosen, name: str, as_json: bool) -> int:
    """Write the record of the job called `name`, or print it; say so if it is provisional."""
    shop = found_shop(chosen)
    job = read_one(shop, name)
    record = record_of(job)
    if as_json:
        data_bytes(record_bytes(record))
    else:
        data(str(write_record(job.folder, record)))
    if record.status == "provisional":
        talk(f"{record.job} is still under way, so this record is provisional.")
    if job.torn:
        talk("The last line of its journal is torn; it is set aside when the job is next opened.")
    return Exit.DONE
