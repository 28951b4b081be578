"""What the database itself refuses in intake, whoever writes."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from intake import models
from intake.words import FindingEnd
from tests.intake import factories

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("factory", "column"),
    [
        (factories.PurchaseFactory, "tax_rule"),
        (factories.LotFactory, "rule"),
        (factories.SellerRecordFactory, "tax_status"),
        (factories.SellerRecordFactory, "id_kind"),
        (factories.NothingFactory, "what"),
        (factories.RecallCheckFactory, "found"),
        (factories.PhotoFactory, "face"),
        (factories.PhotoFactory, "purpose"),
        (factories.WalkFactory, "kind"),
        (factories.FaceLookFactory, "face"),
        (factories.MarkFactory, "face"),
        (factories.MarkFactory, "zone"),
        (factories.MarkFactory, "kind"),
        (factories.MarkFactory, "shows"),
        (factories.FindingFactory, "end"),
    ],
)
def test_a_choice_column_holds_its_words_only(factory, column):
    name = f"{factory._meta.model._meta.label_lower.replace('.', '_')}_{column}_known"

    with pytest.raises(IntegrityError, match=name), transaction.atomic():
        factory(**{column: "SOMETHING"})


@pytest.mark.parametrize("column", ["mended", "withdrawn"])
def test_a_time_without_a_person_is_refused(column):
    with pytest.raises(IntegrityError, match=f"intake_mark_{column}_at_and_by"), transaction.atomic():
        factories.MarkFactory(**{f"{column}_at": NOON})


@pytest.mark.parametrize("size", ["0", "-1"])
def test_a_mark_has_a_size(size):
    with pytest.raises(IntegrityError, match="intake_mark_size_mm_above_zero"), transaction.atomic():
        factories.MarkFactory(size_mm=Decimal(size))


def test_a_price_is_not_below_zero():
    with pytest.raises(IntegrityError, match="intake_purchase_price_minor_at_least"), transaction.atomic():
        factories.PurchaseFactory(price_minor=-1)


@pytest.mark.parametrize("values", [{"declared_words": "Mine."}, {"declared_at": NOON}])
def test_a_declaration_has_words_a_time_and_a_person(values):
    with pytest.raises(IntegrityError, match="intake_sellerrecord_declared"), transaction.atomic():
        factories.SellerRecordFactory(**values)


def test_a_lot_costs_nothing_or_more_and_so_does_a_weight():
    with pytest.raises(IntegrityError, match="intake_lot_price_minor_at_least"), transaction.atomic():
        factories.LotFactory(price_minor=-1)
    with pytest.raises(IntegrityError, match="intake_purchase_lot_weight_minor_at_least"), transaction.atomic():
        factories.PurchaseFactory(lot_weight_minor=-1)


def test_a_finding_that_ended_says_when_and_one_that_is_open_does_not():
    with pytest.raises(IntegrityError, match="intake_finding_open_until_ended"), transaction.atomic():
        factories.FindingFactory(end=FindingEnd.MENDED)
    person = factories.UserFactory()
    with pytest.raises(IntegrityError, match="intake_finding_open_until_ended"), transaction.atomic():
        factories.FindingFactory(ended_at=NOON, ended_by=person)


def test_a_job_has_one_walk_of_each_kind_and_a_walk_one_look_at_a_face():
    look = factories.FaceLookFactory()

    with pytest.raises(IntegrityError), transaction.atomic():
        factories.WalkFactory(job=look.walk.job)
    with pytest.raises(IntegrityError), transaction.atomic():
        factories.FaceLookFactory(walk=look.walk)


def test_numbers_of_marks_and_photos_are_not_given_twice():
    mark, photo = factories.MarkFactory(), factories.PhotoFactory()

    with pytest.raises(IntegrityError), transaction.atomic():
        factories.MarkFactory(walk=mark.walk, number=mark.number)
    with pytest.raises(IntegrityError), transaction.atomic():
        factories.PhotoFactory(job=photo.job, number=photo.number)


@pytest.mark.parametrize("factory", [factories.PhotoFactory, factories.RecallCheckFactory])
def test_what_was_seen_is_never_changed_or_deleted(factory):
    row = factory()
    rows = type(row).objects.filter(pk=row.pk)

    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        rows.update(by=factories.UserFactory())
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        row.delete()
    assert rows.count() == 1


def test_every_model_says_what_it_is():
    walk = factories.WalkFactory()
    rows = {
        "mark 3": factories.MarkFactory(walk=walk, number=3),
        "Left 2": factories.PhotoFactory(face="left", number=2),
        "Photo 4": factories.PhotoFactory(number=4),
        "On arrival": walk,
        "Looked at underneath": factories.FaceLookFactory(walk=walk, face="under"),
        "It is not listed": factories.RecallCheckFactory(),
        "Nothing wrong was found": factories.NothingFactory(),
    }

    assert {words: str(row) for words, row in rows.items()} == {words: words for words in rows}
    assert models.Mark.objects.count() == 1
