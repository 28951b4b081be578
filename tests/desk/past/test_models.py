"""What the database itself holds to."""

import pytest
from django.db import IntegrityError, transaction

from tests.conftest import NOON
from tests.factories import JobFactory
from workshop.core import appendonly
from workshop.desk.models import PastFile, PastRow


@pytest.fixture
def kept(owner):
    return PastFile.objects.create(kind="STOCK", name="a.csv", row_count=1, by=owner, at=NOON)


@pytest.mark.parametrize(
    ("columns", "rule"),
    [
        ({"kind": "PARTS"}, "desk_pastfile_kind_known"),
        ({"new_kind": "KETTLE"}, "desk_pastfile_new_kind_known"),
        ({"brought_at": NOON}, "desk_pastfile_brought_at_and_by"),
    ],
)
def test_a_file_breaks_no_rule(kept, columns, rule):
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        PastFile.objects.filter(pk=kept.pk).update(**columns)


def test_a_row_comes_in_once_and_never_changes(kept, shop):
    row = PastRow.objects.create(file=kept, number=2, key="k", job=JobFactory())

    with pytest.raises(IntegrityError), transaction.atomic():
        PastRow.objects.create(file=kept, number=3, key="k", job=JobFactory())
    with pytest.raises(IntegrityError, match="condition_score"), transaction.atomic():
        PastRow.objects.create(file=kept, number=3, key="l", job=JobFactory(), condition_score=-1)
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        PastRow.objects.filter(pk=row.pk).update(number=9)
    assert "desk_pastrow" in appendonly.tables()
