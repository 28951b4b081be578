"""What an invented workshop wrote of a machine two years before it came here."""

from datetime import timedelta

from demo_fixtures.demo import Demo
from intake import services as intake
from workshop.core import machine_record
from workshop.core.models import Job


def earlier_record(demo: Demo, days_ago: float, job: Job) -> None:
    """Read the record in that the seller had kept: the steam tap's ring is not the first one."""
    then = (demo.now - timedelta(days=760)).date().isoformat()
    notes, machine = job.machine.notes, job.machine
    record = {
        "workshop": "Weir Bank Coffee Repairs",
        "written_on": then,
        "sheet": 41,
        "machine": {
            "name": "Velvet Anchor",
            "maker": notes.maker,
            "model": notes.model,
            "kind": notes.kind,
            "serial": machine.serial,
        },
        "condition": {"score": "8.6", "marks": [{"number": 1, "words": "Top, middle: scratch 15 mm, seen close up"}]},
        "done": ["Descaled once, rinsed clean, flushed", "New group seal", "New ring in the steam tap"],
        "left": ["Ready light slow to go out: told to the buyer"],
        "seals": [
            {"position": "Steam tap seal", "end": "CHANGED", "size": "6.07 x 1.78", "material": "EPDM", "on": then}
        ],
        "readings": [
            {
                "what": "Earth path, plug to metal",
                "value": "0.08",
                "unit": "ohm",
                "limit": "0.129 ohm or less",
                "outcome": "PASS",
                "on": then,
                "counts": True,
            }
        ],
    }
    intake.read_record(demo.act(days_ago), job, machine_record.read(machine_record.document(record)))
