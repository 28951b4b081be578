"""The bag of coffee a shot was pulled with: found again, or written down."""

from datetime import date

from workshop.bench.models import Coffee
from workshop.core.acts import Refused


def bag(chosen: Coffee | None, words: str, roast_words: str, *, roasted_on: date | None, opened_on: date | None,
        today: date) -> Coffee | None:  # fmt: skip
    """Return the bag: a new one by its words, or the one chosen; None where nothing was said.

    The day it was opened may be said later: then it is filled in. Another day is another bag of the same roast.

    :raises Refused: a day that is still to come, or a bag opened before it was roasted
    """
    roasted = roasted_on if words or chosen is None else chosen.roasted_on
    _refuse_impossible(roasted, opened_on, today)
    if words:
        return _found(words, roast_words, roasted_on, opened_on)
    if chosen is None or opened_on is None or chosen.opened_on == opened_on:
        return chosen
    if chosen.opened_on is None:
        chosen.opened_on = opened_on
        chosen.save(update_fields=["opened_on"])
        return chosen
    return _found(chosen.words, chosen.roast_words, chosen.roasted_on, opened_on)


def _found(words: str, roast_words: str, roasted_on: date | None, opened_on: date | None) -> Coffee:
    row, _ = Coffee.objects.get_or_create(
        words=words, roast_words=roast_words, roasted_on=roasted_on, opened_on=opened_on
    )
    return row


def _refuse_impossible(roasted_on: date | None, opened_on: date | None, today: date) -> None:
    if roasted_on and roasted_on > today:
        raise Refused("This day is still to come. Say when it was roasted.", field="roasted_on")
    if opened_on and opened_on > today:
        raise Refused("This day is still to come. Say when the bag was opened.", field="opened_on")
    if roasted_on and opened_on and opened_on < roasted_on:
        raise Refused("The bag was opened before it was roasted. Check both days.", field="opened_on")
