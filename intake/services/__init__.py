"""The writers of intake: the only code that changes its rows, one transaction and one journal entry an act."""

from intake.services.arrival import (
    add_loose_part,
    answer_nothing,
    change_loose_part,
    loose_parts_as_usual,
    record_recall_check,
)
from intake.services.blind import begin_blind_look, finish_blind_look
from intake.services.findings import add_finding, change_finding, end_finding, reopen_finding
from intake.services.log import NewMachine, log_machine
from intake.services.photos import add_photos, take_photo_back
from intake.services.purchase import change_purchase, change_said, seller_known_as
from intake.services.walk import (
    NewMark,
    add_mark,
    begin_second_look,
    look_again,
    look_at_all_faces,
    look_at_face,
    mend_mark,
    put_mark_back,
    take_mark_back,
    unmend_mark,
)

__all__ = [
    "NewMachine",
    "NewMark",
    "add_finding",
    "add_loose_part",
    "add_mark",
    "add_photos",
    "answer_nothing",
    "begin_blind_look",
    "begin_second_look",
    "change_finding",
    "change_loose_part",
    "change_purchase",
    "change_said",
    "end_finding",
    "finish_blind_look",
    "log_machine",
    "look_again",
    "look_at_all_faces",
    "look_at_face",
    "loose_parts_as_usual",
    "mend_mark",
    "put_mark_back",
    "record_recall_check",
    "reopen_finding",
    "seller_known_as",
    "take_mark_back",
    "take_photo_back",
    "unmend_mark",
]
