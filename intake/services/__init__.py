"""The writers of intake: the only code that changes its rows, one transaction and one journal entry an act."""

from intake.services.arrival import (
    add_loose_part,
    answer_nothing,
    change_loose_part,
    loose_parts_as_usual,
    record_recall_check,
)
from intake.services.as_found import (
    Answered,
    answer_as_found,
    bag_again,
    clear_bag,
    note_seen_running,
    strike_as_found,
    strike_seen_running,
)
from intake.services.blind import begin_blind_look, finish_blind_look
from intake.services.bring import OldMachine, open_jobs
from intake.services.earlier import read_record, take_record_back
from intake.services.findings import add_finding, change_finding, end_finding, left_as_new, reopen_finding
from intake.services.log import NewMachine, log_machine, rows_of_machine
from intake.services.lot import NewLot, change_lot, log_lot
from intake.services.photos import add_photos, give_faces, take_photo_back
from intake.services.purchase import change_purchase, change_said, seller_known_as, sellers_named
from intake.services.seller import lot_mates, record_of, save_seller_record, use_seller
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
    "Answered",
    "NewLot",
    "NewMachine",
    "NewMark",
    "OldMachine",
    "add_finding",
    "add_loose_part",
    "add_mark",
    "add_photos",
    "answer_as_found",
    "answer_nothing",
    "bag_again",
    "begin_blind_look",
    "begin_second_look",
    "change_finding",
    "change_loose_part",
    "change_lot",
    "change_purchase",
    "change_said",
    "clear_bag",
    "end_finding",
    "finish_blind_look",
    "give_faces",
    "left_as_new",
    "log_lot",
    "log_machine",
    "look_again",
    "look_at_all_faces",
    "look_at_face",
    "loose_parts_as_usual",
    "lot_mates",
    "mend_mark",
    "note_seen_running",
    "open_jobs",
    "put_mark_back",
    "read_record",
    "record_of",
    "record_recall_check",
    "reopen_finding",
    "rows_of_machine",
    "save_seller_record",
    "seller_known_as",
    "sellers_named",
    "strike_as_found",
    "strike_seen_running",
    "take_mark_back",
    "take_photo_back",
    "take_record_back",
    "unmend_mark",
    "use_seller",
]
