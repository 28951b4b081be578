"""Undo: each floor says which of its acts it can take back; here they are put together."""

from handover import undo as handover_undo
from intake import undo as intake_undo
from workshop.bench import undo as bench_undo
from workshop.core import undo as core_undo
from workshop.parts import undo as parts_undo
from workshop.pricing import undo as pricing_undo

UNDO: dict[str, core_undo.Undo] = {
    **core_undo.UNDO,
    **intake_undo.UNDO,
    **parts_undo.UNDO,
    **bench_undo.UNDO,
    **pricing_undo.UNDO,
    **handover_undo.UNDO,
}
