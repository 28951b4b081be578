"""Writers of which items of the cards this workshop asks: the owner's to decide, never on a stop item."""

from workshop.bench import card_lists
from workshop.bench.models import ItemRemoval
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.words import Area


def ask_no_longer(act: Act, code: str) -> JournalEntry:
    """Ask an item no longer. :raises Refused: a stop item, one that caught or missed something, or too few units."""
    with acts.once(act):
        line = card_lists.lists().line(code)
        if line is None:
            raise Refused("There is no such item on our cards.")
        if line.removed:
            raise Refused(f"{line.item.title} is asked no longer already.")
        if not line.offered:
            raise Refused(f"{line.item.title} stays: it is a stop item, it has shown something, or units are too few.")
        return _write(act, "ask_no_longer", code, line.item.title, removed=True)


def ask_again(act: Act, code: str) -> JournalEntry:
    """Ask an item again. :raises Refused: when it is asked."""
    with acts.once(act):
        newest = ItemRemoval.objects.filter(item=code).order_by("-pk").first()
        if newest is None or not newest.removed:
            raise Refused("This item is asked already.")
        return _write(act, "ask_again", code, newest.title, removed=False)


def _write(act: Act, verb: str, code: str, title: str, *, removed: bool) -> JournalEntry:
    row = ItemRemoval.objects.create(item=code, title=title, removed=removed, by=act.by, at=act.at)
    words = f"{title} is asked no longer" if removed else f"{title} is asked again"
    return acts.write(act, verb, words, row, area=Area.SHOP)
