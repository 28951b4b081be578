"""A hold by law stops what it forbids until its first free day, on every floor, and never a look."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from handover import services as handing
from handover import stations
from handover.services import NewReservation
from intake import services as intake
from intake.models import Mark, Purchase
from intake.services.purchase import hold_columns
from intake.words import FindingEnd
from tests.bench.conftest import Bench
from tests.bench.factories import SealPositionFactory
from tests.factories import PersonFactory
from tests.intake.factories import FindingFactory, MarkFactory, PurchaseFactory, RecallCheckFactory
from workshop.bench.services import clean, mend, work
from workshop.core import stations as core_stations
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, Machine
from workshop.parts import services as parts
from workshop.parts.models import Part
from workshop.pricing import services as pricing
from workshop.trade.condition.scoring import Face, MarkKind, Shows

# fairtrading.nsw.gov.au, check value 16: bought 1 March, free on 15 March; Victoria 7 days; New Zealand 14 days.
BOUGHT = date(2026, 3, 1)
FREE = {"AU-NSW": date(2026, 3, 15), "AU-VIC": date(2026, 3, 8), "NZ": date(2026, 3, 15)}
BLOCK_WORK = ("AU-VIC", "NZ")


def noon(day):
    return datetime(day.year, day.month, day.day, 12, 0, tzinfo=UTC)


@pytest.fixture(params=sorted(FREE))
def place(request, shop, job):
    shop.country = request.param
    shop.save()
    PurchaseFactory(job=job, **{"acquired_on": BOUGHT, **hold_columns(shop, BOUGHT)})
    return request.param


def open_it(act, job):
    work.open_case(act, job, why="look inside")


def descale_it(act, job):
    clean.descale(
        act, job, agent="CITRIC_MONOHYDRATE", strength_percent=Decimal("2.0"), volume_l=Decimal("1.0"), minutes=20
    )


def change_a_seal(act, job):
    seal = SealPositionFactory(notes=job.machine.notes, is_group=False)
    mend.answer_seal(act, job, seal, end="CHANGED")


def fit_a_part(act, job):
    if not Part.objects.exists():
        parts.add_part(
            type(act)(act.by, act.at), name="Pump", size="", material="", supplier="", qty=1, cost_minor=2450
        )
    work.add_work(act, job, station="MEND", what="New pump", minutes=20, part=Part.objects.get())


def agree_a_sale(act, job):
    pricing.agree_sale(act, job, PersonFactory(), 20000, act.day)


def clean_it(act, job):
    clean.clean(act, job, lines=[("TRAY", ""), ("CASE", "left as it came")])


def mend_a_mark(act, job):
    intake.mend_mark(act, Mark.objects.first() or MarkFactory(walk__job=job))


def mend_a_finding(act, job):
    finding = FindingFactory(job=job)
    intake.end_finding(act, finding, FindingEnd.MENDED, "new valve")


WORK = (open_it, descale_it, change_a_seal, fit_a_part, clean_it, mend_a_mark, mend_a_finding)


@pytest.mark.parametrize("press", WORK)
def test_work_waits_for_the_first_free_day_where_the_goods_must_stay_as_received(act, job, place, press):
    Machine.objects.update(cord_length_m="1.5", cord_section_mm2="1.0", watts=1400)
    Bench(job, lambda at: act(at=at)).make_safe()  # measuring is looking: it goes on
    before = JournalEntry.objects.filter(job=job).count()
    last = act(at=noon(FREE[place] - timedelta(days=1)))

    if place in BLOCK_WORK:
        with pytest.raises(Refused, match="the law forbids"):
            press(last, job)
        assert JournalEntry.objects.filter(job=job).count() == before
        press(act(at=noon(FREE[place])), job)
    else:
        press(last, job)

    assert JournalEntry.objects.filter(job=job).count() == before + 1


def test_no_sale_is_agreed_before_the_first_free_day_anywhere(act, job, place):
    with pytest.raises(Refused, match="no sale before") as refused:
        agree_a_sale(act(at=noon(FREE[place] - timedelta(days=1))), job)
    assert job.purchase.hold_words in str(refused.value)

    agree_a_sale(act(at=noon(FREE[place])), job)

    assert job.sales.count() == 1


def test_a_reservation_and_handing_over_wait_too(act, job, place):
    last = act(at=noon(FREE[place] - timedelta(days=1)))
    new = NewReservation("P. Sund", "", 20000, None, "", Decimal(4), Decimal(1), "UNKNOWN", None, "YES")

    with pytest.raises(Refused, match="no sale before"):
        handing.reserve(last, job, new)
    with pytest.raises(Refused, match="On hold by law until"):
        handing.hand_over(last, job, owed_words="")


def test_looking_photographing_and_noting_go_on(act, job, place):
    held = act(at=noon(BOUGHT))
    SealPositionFactory(notes=job.machine.notes, wears=True)
    SealPositionFactory(notes=job.machine.notes, wears=False)

    intake.look_at_all_faces(held, job)
    intake.add_mark(held, job, intake.NewMark(face=Face.LEFT, kind=MarkKind.DENT, size_mm=Decimal(4), shows=Shows.FELT))
    intake.add_finding(held, job, "drips")
    work.add_work(held, job, station="MEND", what="Looked it over", minutes=5, part=None)
    clean.clean(held, job, lines=[("TRAY", "stays as it came")])
    mend.leave_inside_seals(held, job)
    mend.keep_other_seals(held, job, why="looks sound")
    intake.end_finding(held, FindingFactory(job=job), FindingEnd.LEFT, "told")

    assert JournalEntry.objects.filter(job=job).count() == 8


def test_the_machine_page_shows_the_rule_its_day_and_its_source(client_in, job, place):
    page = client_in.get(job.machine.get_absolute_url()).content.decode()

    for words in (job.purchase.hold_words, job.purchase.hold_source, f"{FREE[place].day} March 2026"):
        assert words in page


def test_a_standing_hold_says_what_is_allowed(client_in, job, place):
    Purchase.objects.update(hold_until_on=timezone.localdate() + timedelta(days=2))
    allowed = "answer seals as kept or not disturbed" if place in BLOCK_WORK else "Work on it goes on."

    pages = (job.machine.get_absolute_url(), f"/machines/{job.machine.slug}/intake/")

    assert [allowed in client_in.get(page).content.decode() for page in pages] == [True, True]


def test_a_place_without_a_known_hold_shows_none(client_in, job, shop):
    PurchaseFactory(job=job, **hold_columns(shop, BOUGHT))

    assert 'id="hold"' not in client_in.get(job.machine.get_absolute_url()).content.decode()


# Recall registers, asked again


@pytest.mark.parametrize(("age", "asked"), [(0, False), (30, False), (31, True)])
def test_an_old_look_into_the_registers_blocks_handing_over(act, client_in, job, shop, age, asked):
    today = date(2026, 5, 12)
    RecallCheckFactory(job=job, looked_on=today - timedelta(days=age))
    standing = core_stations.one(stations.STATION, job.pk)

    blocks = stations.blocks(job, standing, today, owed_words="")

    said = f"The last look into the recall registers is {age} days old: look again, on Intake."
    assert (said in blocks) is asked
    if asked:
        with pytest.raises(Refused, match="look again, on Intake"):
            handing.hand_over(act(), job, owed_words="")
        page = client_in.get(f"/machines/{job.machine.slug}/hand-over/").content.decode()
        assert f"/machines/{job.machine.slug}/intake/#recall" in page


def test_the_latest_look_counts_and_the_workshop_sets_the_days(job, shop):
    today = date(2026, 5, 12)
    RecallCheckFactory(job=job, looked_on=today - timedelta(days=8))
    RecallCheckFactory(job=job, looked_on=today - timedelta(days=90))
    assert stations.recall_due(job, today) == ""

    shop.recall_again_days = 7
    shop.save()

    assert stations.recall_due(job, today).startswith("The last look into the recall registers is 8 days old")


def test_a_machine_nobody_looked_up_is_intakes_to_ask(job, shop):
    assert stations.recall_due(job, date(2026, 5, 12)) == ""
