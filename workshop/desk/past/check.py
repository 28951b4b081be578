"""The dry run: every row of a file read as it would come in, with a sentence for each that cannot. Stores nothing."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.core.models import Machine, ModelNotes, Shop
from workshop.core.templatetags.measures import money
from workshop.desk.models import PastFile, PastRow
from workshop.desk.past import columns, values
from workshop.desk.past.files import EXAMPLE
from workshop.desk.past.values import Reading, Wrong
from workshop.desk.words import Past
from workshop.trade.money import rounding
from workshop.trade.money.comparables import median
from workshop.trade.sources import HOUSE_POLICY, Figure

ABSURD_TIMES = Figure(Decimal(100), "times the middle price of the file", HOUSE_POLICY)
ABSURD_MAIN = Figure(Decimal(100_000), "of the main unit of money", HOUSE_POLICY)
_PRICES = {"price_paid": "price paid", "price_sold": "price sold"}


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence about one row."""

    number: int
    sentence: str

    def __str__(self) -> str:
        return f"Row {self.number}: {self.sentence}"


@dataclass(frozen=True, slots=True)
class Ready:
    """A row that would come in: its number in the file, the key it is known by, its values by field."""

    number: int
    key: str
    values: dict[str, Any]


@dataclass(slots=True)
class Report:
    """What a file would bring in, what stops it, what is asked about first, and what is left out."""

    ready: list[Ready] = field(default_factory=list)
    faults: list[Said] = field(default_factory=list)
    asked: list[Said] = field(default_factory=list)
    left_out: list[Said] = field(default_factory=list)

    @property
    def about(self) -> str:
        """What a yes to all questions of this check stands for: it holds for these sentences only."""
        said = "\n".join(str(each) for each in self.asked)
        return f"prices {hashlib.sha256(said.encode()).hexdigest()[:32]}" if said else ""


@dataclass(slots=True)
class _House:
    """What the house knows already, read once: models with their kind, rows that came in, serials that are here."""

    models: set[tuple[str, str]]
    came_in: dict[str, str]
    serials: dict[tuple[str, str, str], str]
    seen: dict[str, int] = field(default_factory=dict)


def report(file: PastFile, shop: Shop, today: date) -> Report:
    """Return what the file would bring in: three queries for any number of rows."""
    house, found = _house(file.kind), Report()
    how = Reading(shop.currency, file.month_first)
    for number, cells in file.rows:
        _row(file, number, cells, how, today, house, found)
    found.asked.extend(_absurd(found.ready, shop))
    return found


def _absurd(rows: list[Ready], shop: Shop) -> Iterator[Said]:
    """Yield a question for each price that is far from those of the other rows, or far from any machine's."""
    limit = rounding.to_minor(ABSURD_MAIN.value, shop.currency)
    for code, words in _PRICES.items():
        prices = [Decimal(row.values[code]) for row in rows if row.values.get(code)]
        middle = median(prices) if prices else Decimal(0)
        most = min(Decimal(limit), middle * ABSURD_TIMES.value)
        for row in rows:
            price = row.values.get(code) or 0
            if price > most:
                usual = f"The middle of this file is {money(int(middle), shop)}."
                yield Said(row.number, f"is the {words} really {money(price, shop)}? {usual}")


def _house(kind: str) -> _House:
    notes = ModelNotes.objects.values_list("maker", "model")
    rows = PastRow.objects.filter(file__kind=kind).values_list("key", "job__machine__name")
    machines = Machine.objects.exclude(serial="").filter(jobs__closed_at__isnull=True, jobs__isnull=False)
    serials = machines.values_list("notes__maker", "notes__model", "serial", "name")
    return _House(
        {(maker.casefold(), model.casefold()) for maker, model in notes},
        dict(rows),
        {(a.casefold(), b.casefold(), c.casefold()): name for a, b, c, name in serials},
    )


def _row(
    file: PastFile, number: int, cells: list[str], how: Reading, today: date, house: _House, found: Report
) -> None:
    if len(cells) > len(file.headings):
        words = "it has more cells than there are headings. Put text that holds the separator into quotes."
        found.faults.append(Said(number, words))
        return
    read, wrong = _values(file, cells, how)
    if read.get("reference", "").casefold() == EXAMPLE:
        found.left_out.append(Said(number, "it is the example of the template. Left out."))
        return
    if not wrong:
        wrong = list(_against_each_other(file, read, today, house))
    if wrong:
        found.faults.extend(Said(number, sentence) for sentence in wrong)
        return
    row_key = key(file.kind, read)
    if because := _known(file.kind, row_key, number, read, house):
        found.left_out.append(Said(number, because))
    else:
        found.ready.append(Ready(number, row_key, read))


def _values(file: PastFile, cells: list[str], how: Reading) -> tuple[dict[str, Any], list[str]]:
    read: dict[str, Any] = {}
    wrong = []
    chosen: Mapping[str, int] = file.columns or {}
    for each in columns.COLUMNS[file.kind]:
        place = chosen.get(each.code)
        cell = cells[place] if place is not None and place < len(cells) else ""
        try:
            read[each.code] = values.value(each, cell, how)
        except Wrong as refused:
            wrong.append(str(refused))
    return read, wrong


def _against_each_other(file: PastFile, read: dict[str, Any], today: date, house: _House) -> Iterator[str]:
    """Yield what is wrong between the values of one row."""
    model = (read["maker"].casefold(), read["model"].casefold())
    if model not in house.models:
        read["kind"] = read["kind"] or file.new_kind
        if read["kind"]:
            house.models.add(model)  # a kind said once holds for the rows below
        else:
            yield f"{read['maker']} {read['model']} is new here. Say its kind: {values.KIND_WORDS}."
    for code, words in (("bought_on", "bought"), ("sold_on", "sold")):
        if (day := read.get(code)) and day > today:
            yield f"it was {words} on {day.isoformat()}, which is in the future. Type the day it was {words}."
    sold, bought = read.get("sold_on"), read.get("bought_on")
    if sold and bought and sold < bought:
        yield f"it was sold on {sold.isoformat()}, before it was bought on {bought.isoformat()}. Check both days."


def key(kind: str, read: Mapping[str, Any]) -> str:
    """Return what a row is known by when it comes again: its own reference, else model, serial, day and price."""
    if read["reference"]:
        parts = ["reference", read["reference"]]
    else:
        day, price = ("bought_on", "price_paid") if kind == Past.STOCK else ("sold_on", "price_sold")
        parts = [str(read[code]) for code in ("maker", "model", "serial", day, price)]
    return hashlib.sha256("\x1f".join([kind, *parts]).casefold().encode()).hexdigest()


def _known(kind: str, row_key: str, number: int, read: Mapping[str, Any], house: _House) -> str:
    if name := house.came_in.get(row_key):
        return f"it came in before, as {name}. Left out."
    if (first := house.seen.setdefault(row_key, number)) != number:
        return f"it is the same as row {first}. Left out. Another machine wants a serial or a reference of its own."
    serial = (read["maker"].casefold(), read["model"].casefold(), read["serial"].casefold())
    if kind == Past.STOCK and read["serial"] and (name := house.serials.get(serial)):
        return f"this serial is here already, as {name}. Left out."
    return ""
