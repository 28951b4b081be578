"""What is held of one person, and taking it out again. Each room says what it holds; the desk puts the rooms together.

Rows that hang on a person are each room's own to empty. A name typed into any other words is found by looking
through every text column of the house, so no room can forget one.
"""

import json
import re
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Cast

from workshop.core import appendonly
from workshop.core.acts import Act
from workshop.core.models import JournalEntry, LockedIdentity, Person, SearchEntry, SearchText, Shop, User

ERASED = "(erased)"
OURS = ("core", "intake", "parts", "bench", "pricing", "handover", "desk")
# Not looked through: the person's own row; the workshop and those who sign in; what Find derives and makes anew.
APART = (Person, LockedIdentity, User, Shop, SearchEntry, SearchText)
# Frozen under a hash that papers carry: by rule they name nobody; where a name stands in one, it is said.
FROZEN = ("handover.Sheet", "handover.MachineRecord")
_FEWEST_LETTERS = 5  # a shorter name alone is a word of the language too. House policy.
_FEWEST_DIGITS = 6  # of a phone. House policy.


@dataclass(frozen=True, slots=True)
class Room:
    """What one app holds of people.

    `covers`: each foreign key to a person, "app.Model.field". `held`: the rows, for the person to have. `locked`: what
    the law wants of them in the book. `forget`: empty the rest inside the act; it returns the words that stood there.
    `blocks`: why nobody can be erased yet. `entries`: of each person the days of
    entries in the book, None for a machine still here.
    """

    covers: frozenset[str]
    held: Callable[[Person], dict[str, list[dict[str, Any]]]]
    forget: Callable[[Act, Person], list[str]]
    blocks: Callable[[Person], list[str]] = lambda person: []
    entries: Callable[[Collection[int]], dict[int, list[date | None]]] = lambda people: {}
    locked: Callable[[Person], dict[str, Any]] = lambda person: {}


def rows(found: "models.QuerySet[Any]") -> list[dict[str, Any]]:
    """Return rows as a person reads them: every column by its name, choices and days as they are kept."""
    return list(found.order_by("pk").values())


def words_before(subject: models.Model, *names: str) -> list[str]:
    """Return what these columns of a row held earlier, as the journal kept it."""
    entries = JournalEntry.objects.filter(subject=f"{subject._meta.label_lower}:{subject.pk}")
    kept = entries.values_list("before", "after")
    return [str(values[name]) for pair in kept for values in pair for name in names if values.get(name)]


def whole(text: str) -> "re.Pattern[str]":
    """Return what finds a text where it stands by itself, however its letters are cased."""
    return re.compile(rf"(?<!\w){re.escape(text)}(?!\w)", re.IGNORECASE)


def of_person(person: Person, fewest: int = _FEWEST_LETTERS) -> list["re.Pattern[str]"]:
    """Return what finds a person in typed words: name, phone however spaced, e-mail, address.

    `fewest`: letters that one word must have to be looked for.
    """
    texts = [text.strip() for text in (person.name, person.email, person.address)]
    found = [whole(text) for text in texts if len(text) >= fewest or " " in text]
    if digits := _digits(person):
        found.append(re.compile(r"\+?" + r"[ \u00a0\u202f()/.\-]*".join(digits)))
    return found


def _digits(person: Person) -> str:
    digits = re.sub(r"\D", "", person.phone)
    return digits if len(digits) >= _FEWEST_DIGITS else ""


def _may_name(person: Person, column: str) -> Q:
    """Keep the rows worth reading, by pieces that a database finds faster than we do."""
    texts = [text.strip() for text in (person.name, person.email, person.address) if text.strip()]
    ways = {way for text in texts for way in (text, text.lower(), text.upper())}  # SQLite folds A to Z alone
    spelled = ways | {json.dumps(way)[1:-1] for way in ways}  # JSON may spell letters as codes
    found = Q(*((f"{column}__icontains", way) for way in spelled), _connector=Q.OR)
    if digits := _digits(person):
        found |= Q((f"{column}__regex", ".{0,12}".join(digits[-3:])))  # a blank between them may be a code as well
    return found


def text_columns(model: type[models.Model]) -> list[str]:
    """Return the columns of a model that hold typed words: no choices, no keys, no names of files or addresses."""
    kinds = (models.CharField, models.TextField, models.JSONField)
    fields = [field for field in model._meta.concrete_fields if isinstance(field, kinds)]
    return [f.name for f in fields if not f.choices and not f.unique and not isinstance(f, models.SlugField)]


def searched() -> list[type[models.Model]]:
    """Return the models whose words are looked through."""
    ours = [model for model in apps.get_models() if model._meta.app_label in OURS]
    return [model for model in ours if model not in APART and model._meta.label not in FROZEN]


def frozen_with(person: Person) -> list[models.Model]:
    """Return the frozen rows in whose words a person stands: they cannot be changed, only said."""
    return [row for label in FROZEN for row, _ in _hits(apps.get_model(label), person)]


def sweep(person: Person) -> None:
    """Take a person's name, phone, e-mail and address out of all typed words."""
    for model in searched():
        for row, changes in list(_hits(model, person)):
            _put(model, row, changes)


def sweep_journal(entries: "models.QuerySet[JournalEntry]", texts: Iterable[str]) -> None:
    """Take words that were erased out of these entries of the journal."""
    kept = sorted({text.strip() for text in texts if len(text.strip()) > 2}, key=len, reverse=True)
    patterns = [whole(text) for text in kept]
    for entry in entries if patterns else ():
        if changes := _changes(entry, ("sentence", "before", "after"), patterns):
            _put(JournalEntry, entry, changes)


def _hits(model: type[models.Model], person: Person) -> Iterator[tuple[models.Model, dict[str, Any]]]:
    names, patterns = text_columns(model), of_person(person)
    if not names or not patterns:
        return
    as_text = {f"{name}_as_text": Cast(F(name), models.TextField()) for name in names}
    where = Q(*(_may_name(person, column) for column in as_text), _connector=Q.OR)
    for row in model._base_manager.alias(**as_text).filter(where).order_by("pk"):
        if changes := _changes(row, names, patterns):
            yield row, changes


def _changes(row: models.Model, names: Iterable[str], patterns: Collection["re.Pattern[str]"]) -> dict[str, Any]:
    changes = {}
    for name in names:
        was = getattr(row, name)
        now = _without(was, patterns)
        if now != was:
            longest = getattr(row._meta.get_field(name), "max_length", None)
            changes[name] = now[:longest] if isinstance(now, str) and longest else now
    return changes


def _without(value: Any, patterns: Collection["re.Pattern[str]"]) -> Any:
    if isinstance(value, dict):
        return {name: _without(part, patterns) for name, part in value.items()}
    if isinstance(value, list):
        return [_without(part, patterns) for part in value]
    if isinstance(value, str):
        for pattern in patterns:
            value = pattern.sub(ERASED, value)
    return value


def _put(model: type[models.Model], row: models.Model, changes: dict[str, Any]) -> None:
    with appendonly.redacting(model):
        model._base_manager.filter(pk=row.pk).update(**changes)


def empty(found: "models.QuerySet[Any]", **columns: Any) -> list[str]:
    """Put these values into columns of rows, also of append-only ones, and return the words that stood there."""
    said = [text for row in found.values_list(*columns) for text in row if isinstance(text, str) and text]
    with appendonly.redacting(found.model):
        found.update(**columns)
    return [text for text in said if text != ERASED]


def _held(person: Person) -> dict[str, list[dict[str, Any]]]:
    locked = LockedIdentity.objects.filter(person=person)
    return {"person": rows(Person.objects.filter(pk=person.pk)), "kept for the book": rows(locked)}


def _forget(act: Act, person: Person) -> list[str]:
    said = [person.note] if person.note else []
    Person.objects.filter(pk=person.pk).update(
        name=f"Erased person {person.pk}",
        phone="",
        email="",
        address="",
        note="",
        erased_at=act.at,
        erased_by=act.by,
        version=F("version") + 1,
    )
    return said


def _locked(person: Person) -> dict[str, Any]:
    return {"name": person.name, "address": person.address}


ROOM = Room(
    covers=frozenset({"core.LockedIdentity.person", "core.SearchEntry.person"}),
    held=_held,
    forget=_forget,
    locked=_locked,
)
