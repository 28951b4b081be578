"""The seller's record: what the place asks, who may read it, what the journal never holds, the receipt."""

import json
from datetime import date, time

import pytest
from django.urls import reverse

from intake import services, stations
from intake.models import Purchase, SellerRecord
from intake.seller_record import STANDARD_WORDS
from intake.undo import UNDO
from tests.factories import JobFactory, PersonFactory, ShopFactory
from tests.intake import factories
from workshop.core.acts import Refused, Stale
from workshop.core.models import JournalEntry, Person

NUMBER, BORN = "OSG-7731-0456", date(1961, 3, 9)
FULL = {
    "AU-NSW": {"address": "12 Weir Lane", "id_kind": "LICENCE", "id_number": NUMBER, "declared_words": "Mine."},
    "AU-VIC": {"address": "12 Weir Lane", "id_kind": "LICENCE", "id_number": NUMBER, "bought_time": time(14, 30)},
    "AU-QLD": {"address": "12 Weir Lane"},
    "AU-NT": {"address": "12 Weir Lane", "bought_time": time(0, 0)},
    "AU-ACT": {"bought_time": time(14, 30)},
    "NZ": {
        "address": "12 Weir Lane", "phone": "01632 960100", "id_kind": "PASSPORT", "born_on": BORN,
        "signed_on": date(2026, 5, 2),
    },
    "US-FL": {"address": "12 Weir Lane", "bought_time": time(14, 30)},
}  # fmt: skip
STAFF = {"AU-VIC", "AU-NT", "NZ"}


def bought(job, **more):
    seller = more.pop("seller", None) or PersonFactory(name="R. Osgood")
    return factories.PurchaseFactory(job=job, seller=seller, bought_at="at the door", **more)


def save(act, shop, purchase, version=0, **values):
    return services.save_seller_record(act, shop, purchase, version, values)


def wants(job):
    return stations.facts([job.pk])[job.pk].record_wants


def url(name, job, *args):
    return reverse(f"intake:{name}", args=[job.machine.slug, *args])


# The gate, place by place


@pytest.mark.parametrize("place", FULL)
def test_intake_waits_for_what_the_place_asks_and_for_nothing_more(act, owner, job, place):
    shop = ShopFactory()
    shop.country = place
    shop.save()
    purchase = bought(job)
    before = wants(job)

    save(act(), shop, purchase, **FULL[place], **({"accepted_by": owner} if place in STAFF else {}))

    assert before.endswith(".")
    assert "asks for more of the seller: " in before
    assert wants(job) == ""


@pytest.mark.parametrize("place", FULL)
def test_each_thing_left_out_is_named(act, owner, job, shop, place):
    shop.country = place
    shop.save()
    purchase = bought(job)
    for left_out in FULL[place]:
        given = {name: value for name, value in FULL[place].items() if name != left_out}
        Person.objects.update(address="", phone="")
        SellerRecord.objects.all().delete()
        save(act(), shop, purchase, **given, accepted_by=owner)
        assert len(wants(job).split(",")) == 1, left_out
        assert wants(job)


def test_the_british_quick_path_asks_for_nothing_and_the_margin_scheme_only_warns(job, shop):
    purchase = bought(job)
    assert (wants(job), stations.facts([job.pk])[job.pk].record_warns) == ("", "")

    Purchase.objects.filter(pk=purchase.pk).update(tax_rule="UK_MARGIN")

    facts = stations.facts([job.pk])[job.pk]
    assert facts.record_wants == ""
    assert facts.record_warns == "The margin scheme asks for more of the seller: address."
    assert "record" not in {row.code for row in stations.unmet(facts)}


# Private values


def test_the_record_is_the_owners_to_keep(act, technician, job, shop):
    purchase = bought(job)

    with pytest.raises(Refused, match="Only the owner"):
        save(act(by=technician), shop, purchase, address="12 Weir Lane")

    assert SellerRecord.objects.count() == 0


@pytest.mark.parametrize(("place", "field"), [("GB", "id_number"), ("NZ", "id_number"), ("AU-NSW", "born_on")])
def test_what_the_place_does_not_ask_for_is_not_kept(act, job, shop, place, field):
    shop.country = place

    with pytest.raises(Refused, match="Your place does not ask for the") as refused:
        save(act(), shop, bought(job), **{field: NUMBER if field == "id_number" else BORN})

    assert refused.value.field == field


def test_the_last_digits_are_taken_from_the_whole_number(act, job, shop):
    shop.country = "AU-VIC"

    save(act(), shop, bought(job), id_number=NUMBER, id_kind="LICENCE")

    assert SellerRecord.objects.get().id_last == "0456"


def test_a_technician_is_told_the_sellers_name_and_nothing_more(technician_in, client_in, act, job, shop):
    shop.country = "AU-NSW"
    shop.save()
    person = PersonFactory(name="R. Osgood", phone="01632 960100")
    save(act(), shop, bought(job, seller=person), id_number=NUMBER, id_kind="LICENCE", address="12 Weir Lane")

    assert technician_in.get(url("seller_record", job)).status_code == 403
    assert technician_in.post(url("seller_record", job), {"key": "k1", "version": "1"}).status_code == 403
    for page in (job.machine.get_absolute_url(), url("intake", job), url("purchase_edit", job)):
        seen = technician_in.get(page).content.decode()
        assert [value in seen for value in (NUMBER, "12 Weir Lane", "960100")] == [False] * 3, page
    intake = technician_in.get(url("intake", job)).content.decode()
    assert "R. Osgood" in intake
    assert url("seller_record", job) not in intake
    for page in (job.machine.get_absolute_url(), url("intake", job), url("purchase_receipt", job)):
        assert NUMBER not in client_in.get(page).content.decode()
    assert NUMBER in client_in.get(url("seller_record", job)).content.decode()


@pytest.mark.parametrize(
    ("place", "words"),
    [("GB", "kept by the owner"), ("AU-NSW", "The owner keeps the seller's record: it still wants something.")],
)
def test_to_a_technician_the_line_of_the_record_says_whose_it_is(technician_in, job, shop, place, words):
    shop.country = place
    shop.save()
    bought(job)

    line = next(row for row in technician_in.get(url("intake", job)).context["page"].lines if "record" in row.what)

    assert (line.found, line.url) == (words, "")


def test_the_journal_names_fields_and_never_what_they_hold(act, job, shop):
    shop.country = "NZ"

    entry = save(act(), shop, bought(job), **FULL["NZ"])

    told = json.dumps([entry.sentence, entry.before, entry.after])
    assert entry.after["fields"] == ["born_on", "id_kind", "seller.address", "seller.phone", "signed_on"]
    for value in ("Weir Lane", "960100", "PASSPORT", "1961", "Osgood"):
        assert value not in told


# The form


@pytest.mark.parametrize(
    ("typed", "kept"), [("0456", "0456"), ("770456", "770456"), ("12345 6789", "6789"), ("123456789", "6789"), ("", "")]
)
def test_of_a_whole_number_typed_only_its_end_is_kept(client_in, job, typed, kept):
    bought(job)
    field = client_in.get(url("seller_record", job)).context["form"].fields["id_last"]

    response = client_in.post(url("seller_record", job), {"key": "k1", "version": "0", "id_last": typed})

    assert response.status_code == 302
    assert SellerRecord.objects.get().id_last == kept
    assert "only the last 4 are kept" in field.help_text
    assert int(field.widget.attrs["maxlength"]) > len(typed)  # or a browser cuts the end off


def test_a_place_comes_first_and_the_rest_is_folded(client_in, job, shop):
    shop.country = "AU-VIC"
    shop.save()
    bought(job)

    page = client_in.get(url("seller_record", job))

    form = page.context["form"]
    assert [f.name for f in form.asked_first] == ["address", "id_kind", "id_number", "bought_time", "accepted_by"]
    assert [f.name for f in form.the_rest] == ["phone", "declared", "declared_words", "signed_on"]
    assert "consumer.vic.gov.au" in page.content.decode()


def test_a_declaration_is_kept_with_who_accepted_it_and_when(client_in, owner, job):
    bought(job)

    client_in.post(url("seller_record", job), {"key": "k1", "version": "0", "declared": "on", "declared_words": ""})

    row = SellerRecord.objects.get()
    assert (row.declared_words, row.declared_by, row.declared_at is not None) == (STANDARD_WORDS, owner, True)
    client_in.post(url("seller_record", job), {"key": "k2", "version": "1", "declared_words": "Not ticked"})
    row.refresh_from_db()
    assert (row.declared_words, row.declared_by, row.version) == ("", None, 2)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("bought_time", "half past 2", "This is not a time. Type one like 14:30."),
        ("signed_on", "2030-01-01", "This date is in the future. Check the year."),
        ("signed_on", "soon", "This is not a date. Type one like 2026-05-12."),
    ],
)
def test_a_wrong_answer_is_said_beside_its_field(client_in, job, field, value, said):
    bought(job)

    response = client_in.post(url("seller_record", job), {"key": "k1", "version": "0", "address": "12 W", field: value})

    assert (response.status_code, list(response.context["form"].errors[field])) == (422, [said])
    assert "12 W" in response.content.decode()
    assert SellerRecord.objects.count() == 0


def test_two_saves_of_one_page_conflict(act, job, shop):
    purchase = bought(job)
    save(act(), shop, purchase, id_last="04")

    with pytest.raises(Stale):
        save(act(), shop, purchase, id_last="05")

    assert SellerRecord.objects.get().id_last == "04"


def test_nothing_is_asked_of_tax_without_a_tax_rule(client_in, job):
    purchase = bought(job)
    assert "tax_status" not in client_in.get(url("seller_record", job)).context["form"].fields

    Purchase.objects.filter(pk=purchase.pk).update(tax_rule="UK_MARGIN")

    assert "tax_status" in client_in.get(url("seller_record", job)).context["form"].fields


# The receipt


def test_the_receipt_holds_what_a_purchase_invoice_must(client_in, act, job, shop):
    # gov.uk, keeping records, purchase side: date, both names and addresses, description, total, no tax shown.
    shop.address = "1 Shed Row"
    shop.save()
    purchase = bought(job, price_minor=8500, tax_rule="UK_MARGIN")
    save(act(), shop, purchase, address="12 Weir Lane", id_kind="LICENCE", id_last="0456", declared_words="It is mine.")
    walk = factories.WalkFactory(job=job)
    factories.MarkFactory(walk=walk)

    page = client_in.get(url("purchase_receipt", job)).content.decode()

    for words in (
        "2 May 2026", "R. Osgood", "12 Weir Lane", "The Tram Shed", "1 Shed Row", str(job.machine.notes), "0456-22",
        "£85.00", "It is mine.", "Driving licence, number ends 0456", "scratch", "Seller, date", "at the door",
        "No tax is shown",
    ):  # fmt: skip
        assert words in page, words
    assert "%" not in page.split("<article")[1].split("</article>")[0]
    assert "Stock number" not in page


def test_a_registered_seller_brings_the_stock_number_and_gaps_are_told_on_the_screen_only(client_in, act, job, shop):
    purchase = bought(job, tax_rule="UK_MARGIN")
    save(act(), shop, purchase, tax_status="REGISTERED")

    page = client_in.get(url("purchase_receipt", job)).content.decode()

    screen, paper = page.split("<article")
    assert "Stock number" in paper
    assert "It does not say the seller's address yet" in screen.replace("&#x27;", "'")
    assert STANDARD_WORDS in paper


@pytest.mark.parametrize(
    ("rule", "status", "doubted"),
    [
        ("UK_MARGIN", "REGISTERED", True),
        ("DE_MARGIN", "REGISTERED", True),
        ("UK_MARGIN", "PRIVATE", False),
        ("NOT_REGISTERED", "REGISTERED", False),
    ],
)
def test_a_registered_seller_beside_a_margin_scheme_is_doubted(client_in, act, job, shop, rule, status, doubted):
    # Directive 2006/112/EC, article 314: bought from a private person, an exempt one, or a dealer under the scheme.
    save(act(), shop, bought(job, tax_rule=rule), tax_status=status)
    words = "goods bought with tax shown are outside the margin scheme"

    record = client_in.get(url("seller_record", job)).content.decode()
    screen, paper = client_in.get(url("purchase_receipt", job)).content.decode().split("<article")

    assert (words in record, words in screen) == (doubted, doubted)
    assert ("for resale under a margin scheme" in paper) is (rule == "UK_MARGIN" and not doubted)
    assert words not in paper


def test_a_receipt_without_a_seller_warns(client_in, job):
    Purchase.objects.filter(pk=bought(job).pk).update(seller=None)

    screen = client_in.get(url("purchase_receipt", job)).content.decode().split("<article")[0]

    assert "It does not say the seller's name yet" in screen.replace("&#x27;", "'")


@pytest.mark.parametrize("view", ["purchase_receipt"])
def test_papers_with_prices_are_the_owners(technician_in, job, view):
    bought(job)

    assert technician_in.get(url(view, job)).status_code == 403


def test_a_job_without_a_purchase_has_no_record(client_in, job):
    assert client_in.get(url("seller_record", job)).status_code == 404
    assert client_in.get(url("purchase_receipt", job)).status_code == 404


# Same person as before?


def test_one_press_uses_the_person_of_before_fills_gaps_and_can_be_undone(client_in, act, shop, job):
    before = PersonFactory(name="René O'Dell", phone="01632 960100")
    bought(JobFactory(), seller=before)
    typed = PersonFactory(name="rene o dell", address="12 Weir Lane")
    purchase = bought(job, seller=typed)
    page = client_in.get(url("intake", job)).content.decode()
    assert "Same person as before?" in page

    client_in.post(url("seller_same", job, before.pk), {"key": "k1"})

    purchase.refresh_from_db()
    before.refresh_from_db()
    assert (purchase.seller, before.address, before.phone) == (before, "12 Weir Lane", "01632 960100")
    assert "Bought from them before" in client_in.get(url("intake", job)).content.decode()
    entry = JournalEntry.objects.get(verb="use_seller")
    assert "Dell" not in json.dumps([entry.sentence, entry.before, entry.after])
    UNDO["use_seller"](act(), entry)
    purchase.refresh_from_db()
    assert purchase.seller == typed


def test_only_the_owner_sees_and_says_who_is_the_same(technician_in, technician, act, job):
    before = PersonFactory(name="R. Osgood", phone="01632 960100")
    bought(JobFactory(), seller=before)
    purchase = bought(job)

    assert "Same person" not in technician_in.get(url("intake", job)).content.decode()
    assert technician_in.post(url("seller_same", job, before.pk), {"key": "k"}).status_code == 403
    with pytest.raises(Refused, match="Only the owner"):
        services.use_seller(act(by=technician), purchase, 1, before)


def test_somebody_we_never_bought_from_cannot_be_named(client_in, job):
    bought(job)

    assert client_in.post(url("seller_same", job, PersonFactory().pk), {"key": "k"}).status_code == 404


@pytest.mark.parametrize("view", ["intake", "seller_record", "purchase_receipt"])
def test_a_page_asks_equally_often_for_any_number_of_earlier_purchases(
    client_in, job, view, django_assert_max_num_queries
):
    seller = PersonFactory(name="R. Osgood", phone="01632 960100")
    bought(job, seller=seller)
    walk = factories.WalkFactory(job=job)
    counts = []
    for number in (1, 29):
        for _ in range(number):
            factories.PurchaseFactory(seller=seller)
            factories.PurchaseFactory(seller=PersonFactory(name="r osgood"))
            factories.MarkFactory(walk=walk)
        with django_assert_max_num_queries(200) as asked:
            client_in.get(url(view, job))
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_a_signing_day_to_come_is_refused_in_words_that_ask_nothing(client_in, job, shop):
    factories.PurchaseFactory(job=job)

    refused = client_in.post(url("seller_record", job), {"key": "a", "version": "0", "signed_on": "2099-01-01"})
    page = refused.content.decode()

    assert refused.status_code == 422
    assert "This date is in the future. Check the year." in page
    assert "One answer to mend" in page
    assert "Is that right?" not in page
