"""Bringing in: whole or not at all, once however often it is pressed, and never the same row twice."""

import random
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.apps import apps

from intake.models import Purchase
from tests.conftest import NOON
from tests.desk.past import lists
from tests.factories import JobFactory, ModelNotesFactory
from workshop.core.acts import AlreadyDone, Refused, Stale
from workshop.core.models import Job, JournalEntry, Machine, ModelNotes, Person
from workshop.desk.models import PastFile, PastRow
from workshop.desk.past import check, services
from workshop.desk.past.columns import COLUMNS
from workshop.pricing import costs, owed
from workshop.pricing.models import Sale


def rows_of_the_house():
    ours = [m for m in apps.get_models() if m.__module__.split(".")[0] in ("workshop", "intake", "handover")]
    return {model._meta.label: model._default_manager.count() for model in ours}


def said(file, shop):
    found = check.report(file, shop, NOON.date())
    return [str(each) for each in (*found.faults, *found.left_out)]


@pytest.mark.django_db
def test_stock_comes_in_with_names_purchases_and_open_jobs(act, shop):
    shop.tax_rule = "UK_MARGIN"
    file = lists.keep(act(), "STOCK", lists.stock(lists.STOCK_ROW, lists.STOCK_ROW.replace("0456-22", "0457-22")))

    entry = services.bring_in(act("k1"), shop, file, file.version)

    assert entry.sentence == "Brought in 2 machines from list.csv"
    first = Job.objects.select_related("machine__place", "machine__notes").order_by("pk")[0]
    bought = Purchase.objects.select_related("seller").get(job=first)
    assert (first.machine.serial, str(first.machine.place), str(first.machine.notes)) == (
        *("0456-22", "Top shelf"),
        "Fennick and Low Heron",
    )
    assert (bought.price_minor, bought.acquired_on, str(bought.seller)) == (8500, date(2026, 4, 3), "R. Seller")
    assert (bought.said, bought.tax_rule) == ("Worked last year", "UK_MARGIN")
    assert (first.opened_at, first.closed_at) == (datetime(2026, 4, 3, 12, tzinfo=UTC), None)
    assert len(set(Machine.objects.values_list("name", flat=True))) == 2
    assert first.machine.notes.seals.count() == 4
    assert Person.objects.count() == 1


@pytest.mark.django_db
def test_past_sales_become_closed_jobs_that_money_reads(act, shop):
    faulty = lists.SALES_ROW.replace("0456-22", "0457-22").replace(",no,", ",yes,")
    file = lists.keep(act(), "SALES", lists.sales(lists.SALES_ROW, faulty))

    services.bring_in(act(), shop, file, file.version)

    sold, untested = Job.objects.order_by("pk")
    assert (sold.closed_as, untested.closed_as) == ("SOLD_PROVED", "SOLD_UNTESTED")
    sale = Sale.objects.get(job=sold)
    assert (sale.price_minor, sale.agreed_on, sold.closed_at.date()) == (34000, date(2026, 5, 1), date(2026, 5, 1))
    cost = costs.of_jobs([sold.pk], shop)[sold.pk]
    assert (cost.purchase.price_minor, cost.minutes, sum(row.amount_minor for row in cost.extras)) == (8500, 210, 2450)
    assert cost.purchase.tax_rule == "NONE"
    assert owed.lines() == []
    assert sold.from_the_past.condition_score == Decimal("7.5")


@pytest.mark.django_db
def test_a_second_press_of_the_same_form_is_one_import(act, shop):
    file = lists.keep(act(), "STOCK", lists.stock())
    services.bring_in(act("k1"), shop, file, file.version)

    with pytest.raises(AlreadyDone):
        services.bring_in(act("k1"), shop, file, 1)
    with pytest.raises(Refused, match="came in before"):
        services.bring_in(act("k2"), shop, file, file.version)
    assert Job.objects.count() == 1


@pytest.mark.django_db
def test_the_same_file_again_is_recognised_row_by_row(act, shop):
    content = lists.stock(lists.STOCK_ROW, lists.STOCK_ROW.replace("0456-22", ""))
    first = lists.keep(act(), "STOCK", content)
    services.bring_in(act(), shop, first, first.version)

    again = lists.keep(act(), "STOCK", content)

    names = list(Machine.objects.order_by("pk").values_list("name", flat=True))
    assert said(again, shop) == [
        f"Row 2: it came in before, as {names[0]}. Left out.",
        f"Row 3: it came in before, as {names[1]}. Left out.",
    ]
    with pytest.raises(Refused, match="nothing new"):
        services.bring_in(act(), shop, again, again.version)


@pytest.mark.django_db
def test_rows_that_are_the_same_the_example_and_a_serial_that_is_here_are_left_out(act, shop):
    JobFactory(machine__serial="77-1", machine__name="Maple Harbour", machine__notes__model="Heron")
    row = lists.STOCK_ROW
    content = lists.stock(row, row, row.replace("0456-22", "77-1")).replace(b"Worked last year", b"x")
    content = content.replace(b"What the seller said", b"Reference").replace(b",x", b",")

    assert said(lists.keep(act(), "STOCK", content), shop) == [
        "Row 3: it is the same as row 2. Left out. Another machine wants a serial or a reference of its own.",
        "Row 4: this serial is here already, as Maple Harbour. Left out.",
    ]
    example = content.replace(b"Top shelf,", b"Top shelf,example", 1)
    assert "Row 2: it is the example of the template. Left out." in said(lists.keep(act(), "STOCK", example), shop)


@pytest.mark.django_db
def test_one_bad_row_keeps_the_whole_file_out(act, shop):
    file = lists.keep(act(), "STOCK", lists.stock(lists.STOCK_ROW, lists.STOCK_ROW.replace("85.00", "12O")))
    before = rows_of_the_house()

    with pytest.raises(Refused) as refused:
        services.bring_in(act(), shop, file, file.version)

    assert refused.value.reasons[1] == "Row 3: the price paid “12O” is not an amount. Type digits, like 85.00."
    assert rows_of_the_house() == before


@pytest.mark.django_db
def test_what_is_wrong_between_the_values_of_a_row_is_said(act, shop):
    rows = (
        lists.SALES_ROW.replace("Heat exchanger", "").replace("Heron", "Wren"),
        lists.SALES_ROW.replace("2026-05-01", "2026-06-01"),
        lists.SALES_ROW.replace("2026-04-03", "2026-05-02"),
        lists.SALES_ROW + ",,over",
    )

    found = said(lists.keep(act(), "SALES", lists.sales(*rows)), shop)

    assert [sentence.split(".")[0] for sentence in found] == [
        "Row 2: Fennick and Low Wren is new here",
        "Row 3: it was sold on 2026-06-01, which is in the future",
        "Row 4: it was sold on 2026-05-01, before it was bought on 2026-05-02",
        "Row 5: it has more cells than there are headings",
    ]


@pytest.mark.django_db
def test_the_kind_of_a_new_model_is_said_once_or_for_the_whole_file(act, shop):
    bare = lists.STOCK_ROW.replace("Heat exchanger", "").replace("0456-22", "")

    assert said(lists.keep(act(), "STOCK", lists.stock(lists.STOCK_ROW, bare)), shop) == []
    file = lists.keep(act(), "STOCK", lists.stock(bare), new_kind="LEVER")
    services.bring_in(act(), shop, file, file.version)
    assert ModelNotes.objects.get().kind == "LEVER"


@pytest.mark.django_db
def test_a_model_that_is_known_under_other_capitals_is_the_same(act, shop):
    ModelNotesFactory(maker="ÉTOILE", model="Heron")
    bare = lists.STOCK_ROW.replace("Heat exchanger", "").replace("Fennick and Low", "étoile")
    file = lists.keep(act(), "STOCK", lists.stock(bare))

    services.bring_in(act(), shop, file, file.version)

    assert ModelNotes.objects.count() == 1


@pytest.mark.django_db
def test_columns_matched_anew_by_somebody_else_stop_an_old_page(act, shop):
    file = lists.keep(act(), "STOCK", lists.stock())
    services.match_columns(act(), file, 1, {"columns": file.columns, "month_first": True, "new_kind": ""})

    with pytest.raises(Stale):
        services.bring_in(act(), shop, file, 1)


@pytest.mark.django_db
def test_files_nobody_brings_in_are_swept_after_14_days(act, shop):
    old = lists.keep(act(at=NOON - timedelta(days=15)), "STOCK", lists.stock())
    young = lists.keep(act(at=NOON - timedelta(days=13)), "STOCK", lists.stock())

    lists.keep(act(), "STOCK", lists.stock())

    old.refresh_from_db()
    young.refresh_from_db()
    assert (old.rows, len(young.rows)) == ([], 1)
    with pytest.raises(Refused, match="swept after 14 days"):
        services.bring_in(act(), shop, old, old.version)


@pytest.mark.django_db
def test_bringing_in_asks_equally_often_for_one_row_and_for_thirty(act, shop, django_assert_max_num_queries):
    rows = [lists.STOCK_ROW.replace("0456-22", f"S{n}") for n in range(31)]
    one = lists.keep(act(), "STOCK", lists.stock(rows[0]))
    services.bring_in(act(), shop, one, one.version)
    with django_assert_max_num_queries(50) as once:
        file = lists.keep(act(), "STOCK", lists.stock(rows[0].replace("S0", "first")))
        services.bring_in(act(), shop, file, file.version)

    with django_assert_max_num_queries(len(once)):
        file = lists.keep(act(), "STOCK", lists.stock(*rows[1:]))
        services.bring_in(act(), shop, file, file.version)

    assert Job.objects.count() == 32


# 10,000 rows of a tired hand


CELLS = {
    "maker": ["Fennick and Low", "", "x" * 90, "=A1", "Ünal"],
    "model": ["Heron", "Wren", ""],
    "kind": ["Heat exchanger", "lever", "", "kettle"],
    "money": ["85", "85,00", "£1,234.50", "12O", "-5", "€85", "", "1,234", "=1+1", "9" * 25, "0", "٣"],
    "day": ["2026-04-03", "03/04/2026", "31.04.2026", "3 April 2025", "tomorrow", "9999-12-31", "", "0001-01-01"],
    "other": ["", "no", "yes", "7.5", "210", "-1", "10.5", "\x07", "ß𝔘łé\u202e", "'; DROP TABLE core_job; --", '"'],
}


_RIGHT = {
    **{"maker": "Fennick and Low", "model": "Heron", "kind": "lever", "price_paid": "85", "price_sold": "1 340,50"},
    **{"bought_on": "03/04/2026", "sold_on": "2026-05-01", "minutes": "210", "score": "7,5"},
}


def _fuzzed(rng, code, right):
    if rng.random() < right:
        return f"S{rng.randrange(100_000)}" if code == "serial" else _RIGHT.get(code, "")
    pool = {"maker": "maker", "model": "model", "kind": "kind"}.get(code, "other")
    pool = "money" if "price" in code or "cost" in code else "day" if code.endswith("_on") else pool
    if rng.random() < 0.05:
        return "".join(chr(rng.choice([rng.randrange(1, 0x250), rng.randrange(0x2000, 0x3000)])) for _ in range(8))
    return rng.choice(CELLS[pool])


@pytest.mark.django_db
def test_ten_thousand_fuzzed_rows_never_crash_and_never_come_in_by_half(act, shop):
    rng, seen, brought = random.Random(20260512), 0, 0
    while seen < 10_000:
        kind = rng.choice(["STOCK", "SALES"])
        size = rng.choice([2, 40, 900])
        right = rng.choice([1, 0.999, 0.8, 0.3])  # some files are right, else none would ever come in
        codes = [each.code for each in COLUMNS[kind]]
        headings = [each.label for each in COLUMNS[kind]]
        rows = [[_fuzzed(rng, code, right) for code in codes] for _ in range(size)]
        content = lists.separated([headings, *rows], rng.choice([",", ";", "\t"]))
        file = lists.keep(act(), kind, content)
        before, found = rows_of_the_house(), check.report(file, shop, NOON.date())
        seen += size
        try:
            services.bring_in(act(), shop, file, file.version)
        except Refused:
            assert found.faults or not found.ready
            assert rows_of_the_house() == before
        else:
            brought += len(found.ready)
            assert not found.faults
            assert rows_of_the_house()["core.Job"] == before["core.Job"] + len(found.ready)

    assert brought > 1_000
    assert PastRow.objects.count() == brought == Machine.objects.count()
    assert JournalEntry.objects.filter(verb="bring_in").count() == PastFile.objects.exclude(brought_at=None).count()


@pytest.mark.django_db
def test_a_column_of_hours_is_known_and_adds_to_the_minutes(act, shop):
    headings, row = f"{lists.SALES_HEADINGS},Hours", f"{lists.SALES_ROW},1.5"
    file = lists.keep(act(), "SALES", f"{headings}\r\n{row}".encode())

    services.bring_in(act(), shop, file, file.version)

    job = Job.objects.get()
    assert costs.minutes_spent([job.pk])[job.pk] == 210 + 90
