"""One act, one transaction, one journal entry: the frame every service works in."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import IntegrityError, models, transaction
from django.utils import timezone

from workshop.core.models import Job, JournalEntry, Machine, User
from workshop.core.words import Area


@dataclass(frozen=True, slots=True)
class Act:
    """Who acts, when, and the key of the form they pressed (None when a command acts)."""

    by: User
    at: datetime
    key: str | None = None

    @property
    def day(self) -> date:
        """Return the workshop's date of the act."""
        return timezone.localtime(self.at).date()


class AlreadyDone(Exception):
    """This form was pressed before; `entry` is what it did then."""

    def __init__(self, entry: JournalEntry) -> None:
        super().__init__(entry.sentence)
        self.entry = entry


class Refused(Exception):
    """A rule says no. `reasons` are sentences a bench worker can act on, by field name ('' = whole form)."""

    def __init__(self, *reasons: str, field: str = "") -> None:
        super().__init__(" ".join(reasons))
        self.reasons = reasons
        self.field = field

    @property
    def beside(self) -> list[tuple[str, str]]:
        """Return each box with the sentence that stands beside it."""
        return [(self.field, reason) for reason in self.reasons]


class Odd(Refused):
    """It can be, but hardly is: asked about once. A second press that carries `about` in `sure` goes on.

    `fields`: the box of each sentence, where they stand beside several.
    """

    def __init__(self, *reasons: str, about: str, field: str = "", fields: Sequence[str] = ()) -> None:
        super().__init__(*reasons, field=field)
        self.about = about
        self.fields = tuple(fields) or (field,) * len(reasons)

    @property
    def beside(self) -> list[tuple[str, str]]:
        """Return each box with the sentence that stands beside it."""
        return list(zip(self.fields, self.reasons, strict=True))


@contextmanager
def beside(agreed: str) -> Iterator[None]:
    """Keep a yes that was said already beside what is asked next: both go into the form's `sure`."""
    try:
        yield
    except Odd as odd:
        raise Odd(*odd.reasons, about=f"{agreed}{odd.about}", field=odd.field, fields=odd.fields) from odd


class Stale(Exception):
    """The row changed after the page was opened.

    `now` holds what it says today in words, by label; `columns` what its columns hold, for the form to put in words.
    """

    def __init__(
        self, now: Mapping[str, str], version: int | None = None, columns: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__("It changed after you opened it.")
        self.now = dict(now)
        self.version = version
        self.columns = dict(columns or {})


@contextmanager
def once(act: Act) -> Iterator[None]:
    """Open the act's transaction; a second press of the same form raises AlreadyDone and changes nothing.

    :raises AlreadyDone: when the key was used before, also when two presses race.
    """
    try:
        with transaction.atomic():
            _refuse_repeat(act)
            yield
    except IntegrityError:
        _refuse_repeat(act)  # the race: the other press wrote its entry first
        raise


def _refuse_repeat(act: Act) -> None:
    if act.key and (done := JournalEntry.objects.filter(key=act.key).first()):
        raise AlreadyDone(done)


def write(
    act: Act,
    verb: str,
    sentence: str,
    subject: models.Model,
    *,
    job: Job | None = None,
    machine: Machine | None = None,
    area: Area = Area.BENCH,
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
) -> JournalEntry:
    """Write the act's one journal entry; call it last, inside `once`. Person values never go in."""
    return JournalEntry.objects.create(
        key=act.key,
        by=act.by,
        at=act.at,
        verb=verb,
        area=area,
        sentence=sentence[:300],
        job=job,
        machine=machine or (job.machine if job else None),
        subject=f"{subject._meta.label_lower}:{subject.pk}",
        before=plain(before or {}),
        after=plain(after or {}),
    )


def plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values as JSON can hold them: numbers of measure as text, rows as their id."""
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, models.Model):
        return value.pk
    if value is None or isinstance(value, bool | int | str | list | dict):
        return value
    return str(value)


def change(row: models.Model, version: int, changes: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Save `changes` on a versioned row and return (before, after) of what really changed.

    :raises Stale: when the row's version is no longer `version`; nothing is written then.
    """
    manager = type(row)._default_manager
    before = {name: getattr(row, name) for name in changes}
    updated = manager.filter(pk=row.pk, version=version).update(**changes, version=models.F("version") + 1)
    if not updated:
        fresh = manager.get(pk=row.pk)
        columns = {n: getattr(fresh, n) for n in changes if getattr(fresh, n) != changes[n]}
        raise Stale({}, fresh.version, columns)  # type: ignore[attr-defined]  # only versioned rows come here
    row.refresh_from_db()
    after = {name: getattr(row, name) for name in changes}
    moved = [name for name in changes if before[name] != after[name]]
    return {n: before[n] for n in moved}, {n: after[n] for n in moved}
