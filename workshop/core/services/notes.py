"""Writers of model notes, with their controls, seals and safety parts (typed one a line)."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts, search
from workshop.core.acts import Act, Refused
from workshop.core.defaults import lay_defaults
from workshop.core.models import Control, JournalEntry, ModelNotes, SafetyPart, SealPosition
from workshop.core.words import Area, ControlUse

_LISTS = ("controls_text", "seals_text", "safety_text")


def save_notes(act: Act, notes: ModelNotes | None, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Add or change model notes. :raises Refused: when a line cannot be read. :raises Stale: when changed meanwhile."""
    plain = {name: value for name, value in values.items() if name not in _LISTS}
    with acts.once(act):
        before: dict[str, Any] = {}
        after: dict[str, Any] = {}
        if notes is None:
            notes = ModelNotes.objects.create(**plain)
            if not values.get("seals_text"):
                lay_defaults(notes)
        else:
            before, after = acts.change(notes, version, plain)
            search.notes_changed(notes)
        _set_controls(notes, values.get("controls_text", ""))
        if values.get("seals_text"):
            _set_seals(notes, values["seals_text"])
        _set_safety(notes, values.get("safety_text", ""))
        return acts.write(
            act,
            "save_notes",
            f"Saved model notes on {notes}",
            notes,
            area=Area.SHOP,
            before=before,
            after=after,
        )


def _cells(text: str) -> list[list[str]]:
    return [[cell.strip() for cell in line.split("|")] for line in text.splitlines() if line.strip()]


def _set_controls(notes: ModelNotes, text: str) -> None:
    uses = {label.lower(): value for value, label in ControlUse.choices}
    rows = []
    for cells in _cells(text):
        use = uses.get(cells[0].lower())
        if use is None or len(cells) < 2:
            known = ", ".join(uses)
            raise Refused(f"“{cells[0]}” is not a use. Begin each line with one of: {known}.", field="controls_text")
        rows.append(Control(notes=notes, use=use, label=cells[1][:60], place=(cells[2] if len(cells) > 2 else "")[:60]))
    notes.controls.all().delete()
    Control.objects.bulk_create(rows)


def _set_seals(notes: ModelNotes, text: str) -> None:
    """Replace the seals by name: work done on one keeps pointing at its row while the name stays."""
    wanted = {cells[0][:60]: cells for cells in _cells(text)}
    for name, cells in wanted.items():
        wears = len(cells) < 2 or cells[1].lower() != "inside"
        size = (cells[2] if len(cells) > 2 else "")[:40]
        notes.seals.update_or_create(
            name=name, defaults={"wears": wears, "size": size, "is_group": name.lower().startswith("group")}
        )
    notes.seals.exclude(name__in=wanted).filter(pk__in=_unused_seals(notes)).delete()


def _unused_seals(notes: ModelNotes) -> list[int]:
    seals = notes.seals.all()
    for link in SealPosition._meta.related_objects:
        seals = seals.filter(**{f"{link.name}__isnull": True})
    return list(seals.values_list("pk", flat=True))


def _set_safety(notes: ModelNotes, text: str) -> None:
    rows = [SafetyPart(notes=notes, name=c[0][:60], rating=(c[1] if len(c) > 1 else "")[:40]) for c in _cells(text)]
    notes.safety_parts.all().delete()
    SafetyPart.objects.bulk_create(rows)


def new_notes(*, maker: str, model: str, kind: str) -> ModelNotes:
    """Return the notes of that maker and model, made from the kind's defaults inside the caller's transaction."""
    known = ModelNotes.objects.filter(maker__iexact=maker, model__iexact=model).first()
    if known is not None:
        return known
    notes = ModelNotes.objects.create(maker=maker, model=model, kind=kind)
    lay_defaults(notes)
    return notes
