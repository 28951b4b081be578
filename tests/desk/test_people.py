"""People: what is held of one is given whole, and once erased a dump of every word in the database holds none of it."""

import json
from datetime import UTC, date, datetime, timedelta

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection, models, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import models as handing
from intake.models import Finding, SellerRecord
from tests import factories
from tests.conftest import NOON
from tests.intake.factories import PurchaseFactory
from tests.pricing.factories import WorkFactory
from workshop.bench.models import WorkDone
from workshop.core import acts, appendonly, privacy
from workshop.core.acts import Refused
from workshop.core.models import Draft, JournalEntry, LockedIdentity, Person, Reading, Shop, Wait
from workshop.desk import erasing, find, people
from workshop.pricing.models import Ending, Payment, Sale, Sighting

NAME, PHONE, EMAIL, ADDRESS = "Zebedee Ökonom", "01632 960777", "zeb@quill.example", "7 Ostrich Row, Hollowbeck"
NOTE, SAID, AGREED, WROTE = "prefers mornings", "belonged to my aunt", "spare basket promised", "sounds like a goose"
ANSWERED, ASKED, TOLD, PAID = "the pump, bring it Friday", "is decaf fine too", "yes, any bean", "cash from the sister"
OWED, TRACKED, ID, DECLARED = "the rest on Monday", "TRK-5551-9", "P99887766", "I inherited it in spring"
IDENTITY = (NAME, PHONE, "01632960777", EMAIL, ADDRESS)
WORDS = (NOTE, SAID, AGREED, WROTE, ANSWERED, ASKED, TOLD, PAID, OWED, TRACKED, ID, DECLARED)
AFTER_ALL = date(2040, 1, 1)


@pytest.fixture
def person(db):
    return factories.PersonFactory(name=NAME, phone=PHONE, email=EMAIL, address=ADDRESS, note=NOTE)


@pytest.fixture
def sold_us(shop, owner, person):
    """A machine that they sold us and that was scrapped since."""
    job = factories.JobFactory(closed_at=NOON, closed_by=owner, closed_as="SCRAPPED")
    purchase = PurchaseFactory(job=job, seller=person, said=SAID, bought_at=ADDRESS)
    SellerRecord.objects.create(
        purchase=purchase, id_kind="PASSPORT", id_number=ID, id_last="7766", born_on=date(1980, 2, 3),
        declared_words=DECLARED, declared_at=NOON, declared_by=owner,
    )  # fmt: skip
    Payment.objects.create(purchase=purchase, amount_minor=100, words=PAID, by=owner, at=NOON)
    Ending.objects.create(
        job=job, closed_as="SCRAPPED", person=person, paper={"lines": [f"To {NAME}"]}, by=owner, at=NOON
    )
    return job


@pytest.fixture
def bought(shop, owner, person):
    """A machine that they bought: messages, notes, a parcel, and their name typed wherever words go."""
    job = factories.JobFactory(closed_at=NOON, closed_by=owner, closed_as="SOLD_PROVED")
    by = {"by": owner, "at": NOON}
    sale = Sale.objects.create(job=job, buyer=person, price_minor=500, agreed_on=date(2026, 5, 1), settled=True)
    Payment.objects.create(sale=sale, amount_minor=500, words=PAID, **by)
    made = {"made_at": NOON, "made_by": owner}
    reservation = handing.Reservation.objects.create(job=job, sale=sale, buyer=person, agreed=AGREED, **made)
    sheet = handing.Sheet.objects.create(job=job, number=1, content="{}", sha256="0" * 64, pages=2, dated=True, **by)
    link = handing.BuyerLink.objects.create(job=job, sheet=sheet, token="t" * 40, expires_on=AFTER_ALL, **made)
    message = handing.BuyerMessage.objects.create(
        link=link, key="k", trouble="NOISE", since=WROTE, words=WROTE, at=NOON
    )
    handing.BuyerAnswer.objects.create(message=message, words=ANSWERED, **by)
    handing.ContactNote.objects.create(
        machine=job.machine, job=job, person=person, how="CALL", happened_on=NOON.date(), asked=ASKED, answered=TOLD,
        **by,
    )  # fmt: skip
    handing.Consent.objects.create(person=person, given_on=NOON.date(), how="SPOKEN", **by)
    handing.DistanceNote.objects.create(reservation=reservation, fact="ARRIVED", on=NOON.date(), words=OWED, **by)
    handing.HandedOver.objects.create(job=job, sheet=sheet, owed_words=OWED, **by)
    handing.Packed.objects.create(
        job=job, boilers_drained=True, tank_drained=True, wraps=[], weight_kg=9, carrier="Moss", tracking=TRACKED, **by
    )
    _typed_elsewhere(job, owner)
    act = acts.Act(by=owner, at=NOON)
    acts.write(act, "answer_buyer", f"Answered the buyer: {ANSWERED}", message, job=job)
    acts.write(act, "change_reservation", "Changed", reservation, job=job, before={"agreed": "the old agreement"})
    find.rebuild()
    return job


def _typed_elsewhere(job, owner):
    other = factories.JobFactory()
    Finding.objects.create(job=other, words=f"{NAME.upper()} says it drips", by=owner, at=NOON)
    WorkFactory(job=other, what=f"Rang {NAME}, 01632-960-777", by=owner)
    WorkFactory(job=other, what=f"told {NAME.lower()} twice", by=owner)
    Wait.objects.create(job=other, station="MEND", kind="PERSON", what=f"call {NAME}", who=NAME, since_on=NOON.date())
    Reading.objects.create(
        job=other, card="c", item="i", title="t", outcome="RECORDED", note=f"for {EMAIL}", inputs={"by": NAME},
        by=owner, at=NOON,
    )  # fmt: skip
    Draft.objects.create(user=owner, page="/", form="/", fields={"name": NAME, "deep": [{"a": ADDRESS}]}, at=NOON)
    acts.write(
        acts.Act(by=owner, at=NOON), "begin_wait", f"Waits for {NAME}", other, job=other, after={"what": f"call {NAME}"}
    )
    Sighting.objects.create(
        maker="m", model="m", kind="LEVER", seller_name=NAME, seller_phone=PHONE, price_minor=1, minutes=1,
        profit_minor=1, not_mended_percent=1, tax_rule="NONE", bid_minor=1, worked_out_at=NOON, by=owner, at=NOON,
        breakdown=[["a", f"asked by {NAME}", 1]],
    )  # fmt: skip


def dump():
    """Return every word of every table, as SQL reads it: no model of ours decides what is looked at."""
    words = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            if table.startswith("django_") or table.startswith("auth_"):
                continue
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608  # names of our own tables
            words += [
                f"{table}: {cell}" for row in cursor.fetchall() for cell in row if isinstance(cell, str | dict | list)
            ]
    return "\n".join(words) + "\n" + "\n".join(json.loads(f'"{w}"') for w in _codes(words))


def _codes(words):
    """JSON in the database may spell letters as codes: spell them out as well."""
    return [word.replace('"', '\\"').replace("\n", " ") for word in words if "\\u" in word]


def test_the_dump_sees_all_that_is_planted(sold_us, bought):
    found = dump()

    for words in (*IDENTITY[:2], *IDENTITY[3:], *WORDS, "the old agreement", "zebedee okonom"):
        assert words in found, words


def test_once_erased_and_out_of_the_book_no_word_of_theirs_is_left(act, sold_us, bought, person):
    erasing.erase(act(), person)
    erasing.forget_due(act(at=datetime(2040, 1, 1, tzinfo=UTC)), AFTER_ALL)

    found = dump().casefold()
    for words in (*IDENTITY, *WORDS, "the old agreement", "okonom", "1980-02-03", "960-777"):
        assert words.casefold() not in found, words
    assert f"erased person {person.pk}" in found


def test_until_then_only_the_locked_row_says_who_it_was(act, sold_us, bought, person):
    erasing.erase(act(), person)
    locked = LockedIdentity.objects.get()

    assert locked.fields == {"name": NAME, "address": ADDRESS}
    LockedIdentity.objects.all().delete()
    found = dump().casefold()
    for words in (*IDENTITY, *WORDS):
        assert words.casefold() not in found, words


def test_the_lock_holds_to_its_day_and_goes_after_it(act, sold_us, bought, person):
    erasing.erase(act(), person)

    # A British return with 12 May 2026 in it is due 31 January 2028 and kept five years: P-01.
    assert people.book(person).until == date(2033, 1, 31)
    with pytest.raises(Refused, match="day has come"):
        erasing.forget_due(act(), date(2033, 1, 31))
    assert LockedIdentity.objects.count() == 1
    erasing.forget_due(act(), date(2033, 2, 1))
    assert LockedIdentity.objects.count() == 0


def test_amounts_days_and_machines_stay_in_the_book(act, sold_us, bought, person):
    erasing.erase(act(), person)

    assert sorted(Payment.objects.values_list("amount_minor", flat=True)) == [100, 500]
    sale = Sale.objects.get()
    assert (sale.buyer_id, sale.price_minor, sale.agreed_on) == (person.pk, 500, date(2026, 5, 1))
    assert Person.objects.get(pk=person.pk).name == f"Erased person {person.pk}"


def test_the_rows_that_never_change_never_change_again_after_it(act, sold_us, bought, person):
    erasing.erase(act(), person)

    for model in (Payment, handing.BuyerMessage, handing.BuyerAnswer, JournalEntry, Reading):
        assert model.objects.exists()
        with pytest.raises(Exception, match="append-only"), transaction.atomic():
            model.objects.update(at=NOON)


def test_a_refused_erasure_leaves_everything_and_its_triggers(act, bought, person, monkeypatch):
    before = dump()

    def breaks(*_):
        raise ValueError("half way")

    monkeypatch.setattr(find, "rebuild", breaks)
    with pytest.raises(ValueError, match="half way"):
        erasing.erase(act(), person)
    assert dump() == before
    with pytest.raises(Exception, match="append-only"), transaction.atomic():
        Payment.objects.update(words="x")


def test_words_are_taken_out_inside_a_transaction_only(transactional_db, owner):
    with pytest.raises(RuntimeError, match="inside a transaction"), appendonly.redacting(JournalEntry):
        pass


def test_the_journal_says_that_it_was_done_and_nothing_of_who(act, sold_us, bought, person):
    entry = erasing.erase(act(), person)

    assert entry.sentence == "Erased a person on request, their name in the book locked"
    assert NAME not in json.dumps([entry.before, entry.after])
    assert entry.area == "PERSON"


def test_find_finds_them_no_more(act, bought, person):
    assert find.find(NAME).hits
    erasing.erase(act(), person)

    assert find.find(NAME).hits == []
    assert find.find(PHONE, knows_people=True).hits == []


def test_somebody_else_of_the_same_name_stays(act, bought, person):
    other = factories.PersonFactory(name=NAME, phone="01632 960001")
    erasing.erase(act(), person)

    assert Person.objects.get(pk=other.pk).name == NAME


def test_a_phone_is_found_however_it_is_spaced(act, shop, owner, person):
    Person.objects.filter(pk=person.pk).update(phone="0612345678")
    ways = ("06 12 34 56 78", "+33 (0)6.12.34.56.78", "(0612) 34 56 7-8", "06\u00a012\u202f34 56\u00a078")
    job = factories.JobFactory()
    for at, way in enumerate(ways):
        WorkFactory(job=job, what=f"rang {way} back", by=owner)
        Reading.objects.create(
            job=job, card="c", item=f"i{at}", title="t", outcome="RECORDED", inputs={"asked": way}, by=owner, at=NOON
        )
    erasing.erase(act(), Person.objects.get(pk=person.pk))

    left = [*WorkDone.objects.values_list("what", flat=True), *Reading.objects.values_list("inputs__asked", flat=True)]
    assert len(left) == 2 * len(ways)
    assert all(privacy.ERASED in words and "6" not in words for words in left), left


def test_only_whole_words_go_from_the_journal(act, bought, person):
    handing.Reservation.objects.update(agreed="eel")
    acts.write(acts.Act(by=bought.closed_by, at=NOON), "begin_wait", "eel: a steel wheel", bought, job=bought)
    erasing.erase(act(), person)

    assert JournalEntry.objects.filter(sentence=f"{privacy.ERASED}: a steel wheel").count() == 1


def test_a_sheet_that_names_them_is_said_not_changed(act, bought, person, owner):
    sheet = handing.Sheet.objects.create(
        job=bought, number=2, content=f"{NAME} broke the lid", sha256="1" * 64, pages=2,
        dated=True, by=owner, at=NOON,
    )  # fmt: skip
    entry = erasing.erase(act(), person)

    assert entry.after["frozen"] == [f"handover.sheet:{sheet.pk}"]
    assert handing.Sheet.objects.get(pk=sheet.pk).content == sheet.content


@pytest.mark.parametrize(
    ("changes", "job_changes", "sentence"),
    [
        ({"settled": False}, {}, "Money is still open"),
        ({}, {"closed_at": None, "closed_by": None, "closed_as": ""}, "is reserved for them"),
    ],
)
def test_while_something_is_open_with_them_nobody_is_erased(act, bought, person, changes, job_changes, sentence):
    Sale.objects.update(**changes)
    type(bought).objects.filter(pk=bought.pk).update(**job_changes)

    with pytest.raises(Refused, match=sentence):
        erasing.erase(act(), person)
    assert Person.objects.get(pk=person.pk).name == NAME


def test_while_their_machine_is_here_again_there_must_be_somebody_to_call(act, bought, person):
    factories.JobFactory(machine=bought.machine, first_job=bought, kind="CAME_BACK")

    with pytest.raises(Refused, match="came back and is still here"):
        erasing.erase(act(), person)
    assert Person.objects.get(pk=person.pk).name == NAME


def test_the_name_of_a_seller_stays_while_their_machine_is_here(act, shop, owner, person):
    PurchaseFactory(seller=person)
    erasing.erase(act(), person)

    assert people.book(person).until is None
    assert people.due(date(2100, 1, 1)) == []


@pytest.mark.parametrize("typed", ["gerda oz", "Öz gerda", "OEZ", "ohm@example", "gerda özlem", "777 001", "0163-2777"])
def test_a_person_is_found_however_their_name_is_typed(shop, typed):
    found = factories.PersonFactory(name="Gerda Özlem", phone="01632 777001", email="Ohm@example.org")
    factories.PersonFactory(name="Gerd Azle", phone="01632 960001", email="gerd@example.org")

    assert [row.pk for row in people.rows(typed)] == [found.pk]


@pytest.mark.parametrize("typed", ["o'brien", "obrien", "O’Brien"])
def test_a_name_is_found_with_its_quote_and_without(shop, typed):
    found = factories.PersonFactory(name="Sam O'Brien")

    assert [row.pk for row in people.rows(typed)] == [found.pk]


def test_who_reserved_a_machine_has_not_bought_it_yet(shop, bought, person):
    assert people.rows(NAME)[0].words == f"bought {bought.machine.name}"
    type(bought).objects.filter(pk=bought.pk).update(closed_at=None, closed_by=None, closed_as="")

    assert people.rows(NAME)[0].words == f"has agreed to buy {bought.machine.name}"


def test_whose_day_has_come_is_read_with_as_many_queries_for_many(act, shop, django_assert_num_queries):
    def erased_seller():
        purchase = PurchaseFactory()
        type(purchase.job).objects.filter(pk=purchase.job_id).update(closed_at=act().at, closed_by=act().by)
        erasing.erase(act(), purchase.seller)

    for people_in_all in (1, 4):
        while LockedIdentity.objects.count() < people_in_all:
            erased_seller()
        with django_assert_num_queries(6):
            assert len(people.due(date(2100, 1, 1))) == people_in_all


def test_where_no_rule_was_read_the_owner_asks_and_types_the_day(act, bought, person):
    Shop.objects.update(country="FR")
    with pytest.raises(Refused, match="Ask a tax adviser") as refused:
        erasing.erase(act(), person)
    assert refused.value.field == "until_on"

    erasing.erase(act(), person, until_on=date(2036, 12, 31))
    assert people.book(person).until == date(2036, 12, 31)
    assert people.due(date(2037, 1, 1)) == [person]


def test_who_stands_in_no_book_is_gone_at_once(act, shop, person):
    erasing.erase(act(), person)

    assert LockedIdentity.objects.count() == 0
    assert NAME.casefold() not in dump().casefold()


def test_only_the_owner_erases_and_only_once(act, technician, shop, person):
    with pytest.raises(Refused, match="Only the owner"):
        erasing.erase(act(by=technician), person)
    erasing.erase(act(), person)
    with pytest.raises(Refused, match="erased already"):
        erasing.erase(act(), Person.objects.get(pk=person.pk))


def test_a_new_zealand_dealers_record_stays_locked_whole(act, sold_us, person):
    Shop.objects.update(country="NZ")
    erasing.erase(act(), person)

    fields = LockedIdentity.objects.get().fields
    assert fields["phone"] == PHONE
    assert any(isinstance(value, dict) and value["born_on"] == "1980-02-03" for value in fields.values())
    record = SellerRecord.objects.get()
    assert (record.born_on, record.id_number, record.id_last) == (None, "", "")


def test_only_what_the_dealer_law_asks_is_locked(act, sold_us, person):
    Shop.objects.update(country="AU-ACT")
    erasing.erase(act(), person, until_on=AFTER_ALL)

    (bought_at,) = LockedIdentity.objects.get().fields.items() - {("name", NAME), ("address", ADDRESS)}
    assert bought_at[1] == ADDRESS


# What is held


def test_the_file_holds_all_that_was_planted_on_them(client_in, sold_us, bought, person):
    answer = client_in.post(reverse("person_export", args=[person.pk]), {"key": "k"})

    assert answer.status_code == 200
    assert answer["Content-Disposition"].startswith("attachment")
    text = json.dumps(json.loads(answer.content), ensure_ascii=False)
    for words in (NAME, PHONE, EMAIL, ADDRESS, *WORDS, "1980-02-03"):
        assert words in text, words
    assert JournalEntry.objects.get(verb="export_person").sentence == "Gave a person all we hold of them"


def test_every_key_to_a_person_is_covered_by_a_room():
    keys = {
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        for field in model._meta.concrete_fields
        if isinstance(field, models.ForeignKey) and field.related_model is Person
    }

    assert keys == frozenset().union(*(room.covers for room in people.ROOMS))


def test_every_column_of_words_is_looked_through_or_named_here():
    """A new column is looked through by itself; one that cannot be must be named, with its reason."""
    unread = {
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        if model._meta.app_label in privacy.OURS
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField | models.JSONField)
        if not field.choices
        if model not in privacy.searched() or field.name not in privacy.text_columns(model)
    }
    apart = {label for label in unread if label.rpartition(".")[0] in {m._meta.label for m in privacy.APART}}
    frozen = {label for label in unread if label.startswith(privacy.FROZEN)}
    keys = {
        *("core.Counter.name", "core.JournalEntry.key", "core.Machine.name", "core.Machine.slug", "core.Place.name"),
        *("desk.PastRow.key", "handover.BuyerLink.token", "handover.BuyerMessage.key", "handover.ToldLink.token"),
        "parts.Part.name",
    }

    assert unread - apart - frozen == keys


# The pages


def test_the_owner_finds_erases_and_clears(client_in, sold_us, bought, person):
    page = client_in.get(reverse("people"), {"q": "ökonom"}).content.decode()
    assert NAME in page
    assert "Income tax: 5 years" in page
    here = reverse("person", args=[person.pk])
    assert "Contact notes: 1" in client_in.get(here).content.decode()

    refused = client_in.post(reverse("person_erase", args=[person.pk]), {})
    assert refused.status_code == 422
    assert "it cannot be undone" in refused.content.decode()
    done = client_in.post(reverse("person_erase", args=[person.pk]), {"asked": "on", "key": "e"}, follow=True)
    assert "Locked, for the book alone" in done.content.decode()
    assert client_in.post(reverse("people_forget_due"), {}).status_code == 422


def test_nobody_but_the_owner_sees_people(technician_in, person):
    for name, args in (("people", []), ("person", [person.pk])):
        assert technician_in.get(reverse(name, args=args)).status_code == 403
    for name, args in (("person_export", [person.pk]), ("person_erase", [person.pk]), ("people_forget_due", [])):
        assert technician_in.post(reverse(name, args=args), {"asked": "on"}).status_code == 403
    assert Person.objects.get().name == NAME


def test_an_unread_place_asks_for_the_day_on_the_page(client_in, bought, person):
    Shop.objects.update(country="FR")
    answer = client_in.post(reverse("person_erase", args=[person.pk]), {"asked": "on"})

    assert answer.status_code == 422
    assert "Ask a tax adviser" in answer.content.decode()
    answer = client_in.post(reverse("person_erase", args=[person.pk]), {"asked": "on", "until_on": "2000-01-01"})
    assert "This day has passed" in answer.content.decode()


def test_the_list_costs_the_same_for_any_number(client_in):
    counts = []
    for many in (1, 29):
        PurchaseFactory.create_batch(many)
        with CaptureQueriesContext(connection) as queries:
            client_in.get(reverse("people"))
        counts.append(len(queries))

    assert counts[0] == counts[1]


def test_the_command_clears_whose_day_has_come(act, sold_us, bought, person, capsys):
    erasing.erase(act(), person)
    call_command("forget_due")
    assert "Nobody's day has come yet." in capsys.readouterr().out

    LockedIdentity.objects.update(typed_until_on=None)
    Sale.objects.update(agreed_on=NOON.date() - timedelta(days=5000))
    type(sold_us).objects.filter(pk=sold_us.pk).update(closed_at=NOON - timedelta(days=5000))
    call_command("forget_due")
    assert "Took 1 person out of the book" in capsys.readouterr().out
