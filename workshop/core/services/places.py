"""Writers of places: where machines stand, and the question before a second one stands in a spot for one."""

from django.db.models import QuerySet

from workshop.core import acts, search
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Machine, Place


def place_named(name: str) -> Place:
    """Return the place of that name, adding it when it is new (case is ignored); a retired one is in use again."""
    cleaned = " ".join(name.split())
    place = Place.objects.filter(name__iexact=cleaned).first() or Place.objects.create(name=cleaned)
    if place.retired:
        acts.change(place, place.version, {"retired": False})
    return place


def place_for(machine: Machine | None, name: str, *, sure: str = "") -> Place:
    """Return the place a machine (None: a new one) is put at.

    :raises Odd: when another machine stands in a spot for one, until a second press says yes
    """
    place = place_named(name)
    about = f"place {place.pk}"
    if place.holds_several or sure == about:
        return place
    others = standing_at(place)
    others = others.exclude(pk=machine.pk) if machine else others
    if other := others.order_by("name", "pk").first():
        words = f"{other} stands at {place}, a spot for one. Do both stand there? Then press again. Else type another."
        raise acts.Odd(words, about=about, field="place")
    return place


def standing_at(place: Place) -> QuerySet[Machine]:
    """Return the machines that stand at a place: those with an open job."""
    return Machine.objects.filter(place=place, jobs__closed_at__isnull=True)


def add_place(act: Act, *, name: str, holds_several: bool) -> JournalEntry:
    """Add a place, or use a retired one again. :raises Refused: when there is one of that name."""
    with acts.once(act):
        if Place.objects.filter(name__iexact=" ".join(name.split()), retired=False).exists():
            raise Refused("There is a place of that name already. Type another.", field="name")
        place = place_named(name)
        acts.change(place, place.version, {"holds_several": holds_several})
        return acts.write(act, "add_place", f"Added place {place}", place)


def change_place(act: Act, place: Place, version: int, *, name: str, holds_several: bool) -> JournalEntry:
    """Rename a place, or say anew how much it holds.

    :raises Refused: when another place has the name. :raises Stale: when it was changed meanwhile.
    """
    with acts.once(act):
        cleaned = " ".join(name.split())
        if Place.objects.filter(name__iexact=cleaned).exclude(pk=place.pk).exists():
            raise Refused("Another place has this name, perhaps a retired one. Type another.", field="name")
        before, after = acts.change(place, version, {"name": cleaned, "holds_several": holds_several})
        search.place_changed(place)
        return acts.write(act, "change_place", f"Changed place {place}", place, before=before, after=after)


def retire_place(act: Act, place: Place) -> JournalEntry:
    """Retire a place: it is offered no more. :raises Refused: while a machine stands there, or when it is retired."""
    with acts.once(act):
        if standing := standing_at(place).order_by("name", "pk").first():
            raise Refused(f"{standing} stands there. Move it first, then retire the place.")
        if not Place.objects.filter(pk=place.pk, retired=False).exists():
            raise Refused("This place is retired already.")
        acts.change(place, place.version, {"retired": True})
        return acts.write(act, "retire_place", f"Retired place {place}", place)


def use_place_again(act: Act, place: Place) -> JournalEntry:
    """Use a retired place again. :raises Refused: when it is in use."""
    with acts.once(act):
        if not place.retired:
            raise Refused("This place is in use already.")
        acts.change(place, place.version, {"retired": False})
        return acts.write(act, "use_place_again", f"Place {place} is in use again", place)
