"""Writers of the workshop itself: its facts, its instruments, its running numbers."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Counter, Instrument, JournalEntry, Shop
from workshop.core.words import Area
from workshop.trade.money.tax import TaxRule
from workshop.trade.safety.electrical import PROFILES, profile_for


def save_shop(act: Act, shop: Shop | None, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Set the workshop up, or change it. `sure` among the values is what a second press says yes to.

    :raises Refused: a new currency once money was recorded
    :raises Odd: when the place changes and its profile or tax rule stay behind
    """
    values = dict(values)
    sure = values.pop("sure", "")
    with acts.once(act):
        if shop is None:
            row = Shop.objects.create(pk=1, **values)
            return acts.write(act, "open_shop", f"Opened {row.name}", row, area=Area.SHOP)
        used = JournalEntry.objects.filter(area=Area.MONEY).exists()
        if used and values.get("currency", shop.currency) != shop.currency:
            raise Refused("The currency is fixed once a price was recorded.", field="currency")
        _ask_about_place(shop, values, sure)
        before, after = acts.change(shop, version, values)
        return acts.write(act, "change_shop", "Changed our workshop", shop, area=Area.SHOP, before=before, after=after)


def _ask_about_place(shop: Shop, values: Mapping[str, Any], sure: str) -> None:
    """Holds and records follow the place by themselves; what was chosen for the old one does not."""
    country, profile = values.get("country", shop.country), values.get("profile", shop.profile)
    rule = TaxRule(values.get("tax_rule", shop.tax_rule))
    kept = [PROFILES[profile].title] if profile in PROFILES and profile != profile_for(country).code else []
    kept += [f"“{rule.label}”"] if rule is not TaxRule.NONE and rule == shop.tax_rule else []
    about = f"place {country}"
    if country != shop.country and kept and sure != about:
        words = f"The place changes, but this was chosen for the old one: {' and '.join(kept)}."
        raise acts.Odd(words, "Put it right below, or press again to keep it.", about=about, field="country")


def add_instrument(act: Act, values: Mapping[str, Any]) -> JournalEntry:
    """Add an instrument the workshop owns. :raises Refused: when one of that kind, name and serial is owned."""
    with acts.once(act):
        row = Instrument(**values)
        _refuse_twin(row)
        row.save()
        return acts.write(act, "add_instrument", f"Added instrument {row.name}", row, area=Area.SHOP)


def change_instrument(act: Act, instrument: Instrument, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change an instrument: the old row is retired and a new one owned, so that old readings keep what stood.

    :raises Refused: when it is owned no longer, nothing is different, or it would equal another one
    :raises Stale: when somebody changed it since
    """
    with acts.once(act):
        if instrument.retired:
            raise Refused("This instrument was changed or retired since. Go back and look at the list.")
        before = {name: getattr(instrument, name) for name in values}
        moved = {name: value for name, value in values.items() if before[name] != value}
        if not moved:
            raise Refused("Nothing is different from what stood.")
        acts.change(instrument, version, {"retired": True})
        kept = {name: getattr(instrument, name) for name in ("kind", "pass_fail_only", "set_limit")}
        row = Instrument(**kept | dict(values))
        _refuse_twin(row)
        row.save()
        sentence, was = f"Changed instrument {row.name}", {name: before[name] for name in moved}
        return acts.write(act, "change_instrument", sentence, row, area=Area.SHOP, before=was, after=moved)


def _refuse_twin(row: Instrument) -> None:
    """Two that look alike in every list cannot be told apart on a reading."""
    owned = Instrument.objects.filter(retired=False, kind=row.kind, name__iexact=row.name, serial__iexact=row.serial)
    if owned.exists():
        raise Refused("You own one of this kind, name and serial. Give this one a name of its own.", field="name")


def retire_instrument(act: Act, instrument: Instrument) -> JournalEntry:
    """Retire an instrument; its old readings keep naming it."""
    with acts.once(act):
        instrument.retired = True
        instrument.save(update_fields=["retired"])
        return acts.write(act, "retire_instrument", f"Retired instrument {instrument.name}", instrument, area=Area.SHOP)


def next_number(name: str) -> int:
    """Take the next gapless number of a counter inside the caller's transaction (compare and set).

    :raises Stale: when another press took it first; the caller renders and tries again.
    """
    return next_numbers(name, 1)


def next_numbers(name: str, count: int) -> int:
    """Take `count` gapless numbers of a counter at once, as `next_number` does, and return the first.

    :raises Stale: when another press took one first
    """
    counter, _ = Counter.objects.get_or_create(name=name)
    if not Counter.objects.filter(name=name, last=counter.last).update(last=counter.last + count):
        raise acts.Stale({name: "another sheet took this number. Press again."})
    return counter.last + 1
