"""Writers of what another workshop wrote: read a record in, take one back."""

import re
from collections.abc import Mapping
from typing import Any

from intake.models import EarlierRecord
from workshop.core import acts, search
from workshop.core.acts import Act, Odd, Refused
from workshop.core.machine_record import Read
from workshop.core.models import Job, JournalEntry, Machine

_NO_LETTER = re.compile(r"[\W_]+")


def differences(machine: Machine, record: Mapping[str, Any]) -> list[str]:
    """Return where a record speaks of another machine than this one, in sentences; what either leaves open agrees."""
    theirs = record["machine"]
    notes = machine.notes
    ours = {"serial": machine.serial, "maker": notes.maker, "model": notes.model}
    pairs = [(name, value, str(theirs.get(name, ""))) for name, value in ours.items()]
    return [
        f"Its {name} is {there} in the record, {here} here."
        for name, here, there in pairs
        if here and there and _same(here) != _same(there)
    ]


def _same(text: str) -> str:
    return _NO_LETTER.sub("", search.fold(text))


def read_record(act: Act, job: Job, found: Read, *, sure: str = "") -> JournalEntry:
    """Keep what another workshop wrote of this machine, as its word.

    :raises Refused: when it was read already. :raises Odd: when it speaks of another serial or model: asked about
    """
    with acts.once(act):
        rows = EarlierRecord.objects.filter(machine=job.machine, sha256=found.sha256, withdrawn_at__isnull=True)
        if rows.exists():
            raise Refused("This very record was read already: it stands below.", field="file")
        differs = differences(job.machine, found.record)
        about = f"record {found.sha256[:16]}"
        if differs and sure != about:
            raise Odd(*differs, "Press again if it is this machine's record all the same.", about=about, field="file")
        row = EarlierRecord.objects.create(
            machine=job.machine,
            workshop=found.record["workshop"],
            written_on=found.written_on,
            sha256=found.sha256,
            intact=found.intact,
            differs=differs,
            record=found.record,
            read_at=act.at,
            read_by=act.by,
        )
        changed = "" if found.intact else ", changed after it was written"
        sentence = f"Read the record of {row.workshop}{changed}"
        return acts.write(act, "read_record", sentence, row, job=job)


def take_record_back(act: Act, row: EarlierRecord, job: Job | None) -> JournalEntry:
    """Take a record back: it was another machine's. :raises Refused: when it was taken back already."""
    with acts.once(act):
        if row.withdrawn_at is not None:
            raise Refused("This was undone already.")
        row.withdrawn_at, row.withdrawn_by = act.at, act.by
        row.save(update_fields=["withdrawn_at", "withdrawn_by"])
        sentence = f"Took the record of {row.workshop} back"
        return acts.write(act, "take_record_back", sentence, row, job=job, machine=row.machine)
