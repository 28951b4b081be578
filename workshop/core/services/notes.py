"""Writers of model notes, with their controls, seals and safety parts (typed one a line)."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts, search
from workshop.core.acts import Act, Refused, plain
from workshop.core.defaults import lay_defaults
from workshop.core.models import Control, JournalEntry, Machine, ModelNotes, SafetyPart, SealPosition
from workshop.core.words import Area, CareWord, ControlUse
from workshop.trade.care import spans

_LISTS = ("controls_text", "seals_text", "safety_text", "care_text")


def save_notes(act: Act, notes: ModelNotes | None, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Add or change model notes. :raises Refused: when a line cannot be read. :raises Stale: when changed meanwhile."""
    plain = {name: value for name, value in values.items() if name not in _LISTS}
    with acts.once(act):
        if "care_text" in values:
            plain["care_overrides"] = _care(values["care_text"])
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


def _care(text: str) -> dict[str, int]:
    """Return the maker's own intervals in days, by the code of the care task."""
    codes = {label.lower(): code for code, label in CareWord.choices}
    found = {}
    for cells in _cells(text):
        code = codes.get(cells[0].lower())
        if code is None or len(cells) < 2:
            raise Refused(f"“{cells[0]}” is not a care task. Copy one from the line above the box.", field="care_text")
        try:
            found[code] = spans.read_days(cells[1])
        except ValueError as wrong:
            raise Refused(str(wrong), field="care_text") from wrong
    return found


def learn_notes(
    act: Act, machine: Machine, version: int, values: Mapping[str, Any], seal_sizes: Mapping[int, str]
) -> JournalEntry:
    """Write what one unit taught into the notes of its model: columns, and sizes by the id of the seal.

    :raises Refused: when nothing was chosen. :raises Stale: when the notes were changed meanwhile
    """
    notes = machine.notes
    with acts.once(act):
        if not values and not seal_sizes:
            raise Refused("Tick what the notes should learn.", field="chosen")
        before, after = acts.change(notes, version, values)
        before["seal_sizes"] = _set_sizes(notes, seal_sizes)
        after["seal_sizes"] = {str(pk): size for pk, size in seal_sizes.items()}
        sentence = f"Notes on {notes} learnt from {machine}"
        return acts.write(
            *(act, "learn_notes", sentence, notes), machine=machine, area=Area.SHOP, before=before, after=after
        )


def unlearn_notes(act: Act, notes: ModelNotes, entry: JournalEntry) -> JournalEntry:
    """Put back what the notes said before they learnt. :raises Refused: when they were changed since."""
    with acts.once(act):
        now = plain({name: getattr(notes, name) for name in entry.after if name != "seal_sizes"})
        sizes = {str(seal.pk): seal.size for seal in notes.seals.filter(pk__in=entry.after["seal_sizes"])}
        if {**now, "seal_sizes": sizes} != entry.after:
            raise Refused("The notes were changed since. Open them and type what is true.")
        old = {name: _column(name).to_python(value) for name, value in entry.before.items() if name != "seal_sizes"}
        before, after = acts.change(notes, notes.version, old)
        _set_sizes(notes, {int(pk): size for pk, size in entry.before["seal_sizes"].items()})
        sentence = f"Notes on {notes} are as before they learnt"
        return acts.write(
            *(act, "unlearn_notes", sentence, notes), machine=entry.machine, area=Area.SHOP, before=before, after=after
        )


def _column(name: str) -> Any:
    return ModelNotes._meta.get_field(name)


def _set_sizes(notes: ModelNotes, sizes: Mapping[int, str]) -> dict[str, str]:
    """Set the sizes of seals of these notes and return what they were."""
    before = {}
    for seal in notes.seals.filter(pk__in=sizes).order_by("pk"):
        before[str(seal.pk)] = seal.size
        seal.size = sizes[seal.pk]
        seal.save(update_fields=["size"])
    return before


def new_notes(*, maker: str, model: str, kind: str) -> ModelNotes:
    """Return the notes of that maker and model, made from the kind's defaults inside the caller's transaction."""
    known = ModelNotes.objects.filter(maker__iexact=maker, model__iexact=model).first()
    if known is not None:
        return known
    notes = ModelNotes.objects.create(maker=maker, model=model, kind=kind)
    lay_defaults(notes)
    return notes
