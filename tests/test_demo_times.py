"""The demo's readings are taken as a person takes them: in working hours, and nothing hot before it was heated."""

from collections import defaultdict
from datetime import UTC, datetime, time, timedelta

import pytest
from django.utils import timezone

from demo_fixtures import scenario
from workshop.core.models import Reading


@pytest.mark.parametrize("hour", [3, 14])
def test_readings_stand_at_believable_times_whenever_the_demo_is_laid(db, hour):
    scenario.lay(datetime(2026, 11, 26, hour, 22, tzinfo=UTC))
    by_job = defaultdict(list)
    for reading in Reading.objects.order_by("at", "pk"):
        assert time(9) <= timezone.localtime(reading.at).time() <= time(18), reading
        by_job[reading.job_id].append(reading)
    proved = [rows for rows in by_job.values() if any(row.item == "leak_hot" for row in rows)]
    assert proved
    for rows in proved:
        at = {row.item: row.at for row in rows if not row.second_look}
        assert at["drip_cold"] < at["watts_heating"]
        assert at["leak_hot"] - at["watts_heating"] >= timedelta(minutes=30)
        warm = next(row.value for row in rows if row.item == "ready")
        assert at["ready"] - at["watts_heating"] >= timedelta(minutes=int(warm))
