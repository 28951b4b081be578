"""What a sheet says that is not so any more: the machine may have changed since it was issued."""

from handover import buyer_links, compose
from handover.models import Sheet
from handover.sheet import SheetContent
from workshop.core.models import Job

# The parts that must still be true on the day. Care dates, papers and words about the buyer may differ: a sheet
# may be issued before anybody has agreed to take the machine.
_PARTS = {
    "condition": "the marks",
    "settings": "the settings",
    "readings": "the readings",
    "done": "the work done",
    "left": "what was left",
    "not_measured": "what was not measured",
    "received": "what goes with it",
    "serial": "the serial number",
    "buyer_address": "the address of the buyer's page",
}


def outdated(job: Job, sheet: Sheet) -> str:
    """Return the sentence that asks for the next sheet, or nothing while what is printed still holds."""
    printed = SheetContent.readable(sheet.content)
    if printed is None:
        return f"Sheet {sheet.number} was issued in an earlier form. Issue the next one."
    token = buyer_links.standing_token(job)
    now = compose.sheet(
        job,
        number=sheet.number,
        issued_on=printed.issued_on,
        paper=printed.paper,
        token=token,
        language=printed.language,
    )
    changed = [words for part, words in _PARTS.items() if getattr(now, part) != getattr(printed, part)]
    reservation = compose.standing_reservation(job)
    if reservation is not None and reservation.language != printed.language:
        changed.append("the language the buyer reads")
    # A film made after issuing, as most are, asks for nothing.
    if printed.film and (now.film is None or now.film.full != printed.film.full):
        changed.append("the film")
    if not changed:
        return ""
    return f"Sheet {sheet.number} does not say what is so today: {', '.join(changed)}. Issue the next one."
