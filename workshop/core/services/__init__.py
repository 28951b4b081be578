"""The core's writers: the only code that changes its rows, one transaction and one journal entry an act."""

from workshop.core.services.drafts import drafts_of, drop_draft, save_draft
from workshop.core.services.jobs import close_job, reopen_job
from workshop.core.services.machines import change_machine, move_machine
from workshop.core.services.notes import learn_notes, new_notes, save_notes, unlearn_notes
from workshop.core.services.people import add_person, add_user, change_person, first_owner
from workshop.core.services.places import (
    add_place,
    change_place,
    place_for,
    place_named,
    retire_place,
    use_place_again,
)
from workshop.core.services.readings import Found, Outside, record_reading, record_report, strike_reading, strike_report
from workshop.core.services.shop import (
    add_instrument,
    change_instrument,
    next_number,
    next_numbers,
    retire_instrument,
    save_shop,
)
from workshop.core.services.stations import begin_wait, end_wait, sign_off, withdraw_sign_off

__all__ = [
    "Found",
    "Outside",
    "add_instrument",
    "add_person",
    "add_place",
    "add_user",
    "begin_wait",
    "change_instrument",
    "change_machine",
    "change_person",
    "change_place",
    "close_job",
    "drafts_of",
    "drop_draft",
    "end_wait",
    "first_owner",
    "learn_notes",
    "move_machine",
    "new_notes",
    "next_number",
    "next_numbers",
    "place_for",
    "place_named",
    "record_reading",
    "record_report",
    "reopen_job",
    "retire_instrument",
    "retire_place",
    "save_draft",
    "save_notes",
    "save_shop",
    "sign_off",
    "strike_reading",
    "strike_report",
    "unlearn_notes",
    "use_place_again",
    "withdraw_sign_off",
]
