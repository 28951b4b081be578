"""Instruments we own: calibrated anew, never owned twice alike, and old readings keep what stood."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from tests.bench import factories
from tests.factories import JobFactory
from workshop.core import services
from workshop.core.acts import Refused, Stale
from workshop.core.models import Instrument, JournalEntry, Reading

DUE = date(2027, 5, 1)


@pytest.fixture
def meter(db):
    return factories.InstrumentFactory(
        kind="EARTH", name="Blue meter", serial="B-12", calibration_due_on=date(2026, 5, 1)
    )


def values(meter, **changed):
    stood = {"name": meter.name, "serial": meter.serial, "calibration_due_on": meter.calibration_due_on}
    return stood | changed


def test_a_new_calibration_date_is_the_one_asked_for_from_now_on(act, meter):
    services.change_instrument(act(), meter, meter.version, values(meter, calibration_due_on=DUE))

    owned = Instrument.objects.get(retired=False)
    assert (owned.name, owned.serial, owned.kind, owned.calibration_due_on) == ("Blue meter", "B-12", "EARTH", DUE)
    entry = JournalEntry.objects.get(verb="change_instrument")
    assert (list(entry.before), list(entry.after)) == (["calibration_due_on"], ["calibration_due_on"])


def test_a_reading_keeps_the_name_and_serial_that_stood(act, meter):
    reading = Reading.objects.create(
        job=JobFactory(), card="safe-to-power", item="earth", title="Earth path", value=Decimal("0.09"), unit="ohm",
        outcome="PASS", instrument=meter, by=act().by, at=act().at,
    )  # fmt: skip
    services.change_instrument(act(), meter, meter.version, values(meter, name="Green meter", serial="G-9"))

    reading.refresh_from_db()
    assert (reading.instrument.name, reading.instrument.serial) == ("Blue meter", "B-12")


def test_a_tester_set_anew_keeps_being_a_tester(act, db):
    tester = factories.InstrumentFactory(kind="EARTH", pass_fail_only=True, set_limit=Decimal("0.2"))
    services.change_instrument(act(), tester, tester.version, values(tester, set_limit=Decimal("0.1")))

    owned = Instrument.objects.get(retired=False)
    assert (owned.pass_fail_only, owned.set_limit) == (True, Decimal("0.1"))


def test_one_alike_is_refused_and_another_serial_is_not(act, meter):
    twin = {"kind": "EARTH", "name": "blue METER", "serial": "b-12"}
    with pytest.raises(Refused, match="You own one of this kind, name and serial") as refused:
        services.add_instrument(act(), twin)
    assert refused.value.field == "name"
    assert Instrument.objects.count() == 1
    services.add_instrument(act(), twin | {"serial": "B-13"})
    services.add_instrument(act(), twin | {"kind": "SCALE"})


def test_changing_one_into_another_is_refused_and_both_stay_owned(act, meter):
    other = factories.InstrumentFactory(kind="EARTH", name="Green meter", serial="G-9")
    with pytest.raises(Refused, match="You own one"):
        services.change_instrument(act(), other, other.version, values(other, name="Blue meter", serial="B-12"))
    assert Instrument.objects.filter(retired=False).count() == 2


def test_a_retired_one_may_be_owned_again(act, meter):
    services.retire_instrument(act(), meter)
    services.add_instrument(act(), {"kind": "EARTH", "name": "Blue meter", "serial": "B-12"})
    assert Instrument.objects.filter(retired=False).count() == 1


def test_nothing_different_or_changed_by_somebody_else_is_refused(act, meter):
    with pytest.raises(Refused, match="Nothing is different"):
        services.change_instrument(act(), meter, meter.version, values(meter))
    with pytest.raises(Stale):
        services.change_instrument(act(), meter, meter.version + 1, values(meter, serial="C"))
    services.change_instrument(act(), meter, meter.version, values(meter, serial="C"))
    with pytest.raises(Refused, match="changed or retired since"):
        services.change_instrument(act(), Instrument.objects.get(pk=meter.pk), 2, values(meter, serial="D"))


def test_the_page_shows_what_stands_and_a_double_press_is_one_change(client_in, shop, meter):
    address = reverse("core:instrument_change", args=[meter.pk])
    assert address in client_in.get(reverse("core:shop_edit")).content.decode()
    page = client_in.get(address).content.decode()
    assert 'value="B-12"' in page
    assert "It is set to" not in page  # a meter with numbers has no set limit
    typed = {"name": "Blue meter", "serial": "B-12", "calibration_due_on": "2027-05-01", "key": "k", "version": "1"}
    for _ in range(2):
        assert client_in.post(address, typed).status_code == 302
    assert Instrument.objects.get(retired=False).calibration_due_on == DUE
    assert JournalEntry.objects.filter(verb="change_instrument").count() == 1
    assert "was changed or retired since" in client_in.get(address).content.decode()


def test_a_tester_without_its_set_limit_is_refused_beside_the_box(client_in, shop):
    tester = factories.InstrumentFactory(kind="EARTH", name="Small", pass_fail_only=True, set_limit=Decimal("0.1"))
    address = reverse("core:instrument_change", args=[tester.pk])
    refused = client_in.post(address, {"name": "Small two", "set_limit": "", "version": "1", "key": "k"})
    assert refused.status_code == 422
    assert "its pass is worth that much" in refused.content.decode()
    assert 'value="Small two"' in refused.content.decode()


def test_a_technician_changes_no_instrument(technician_in, shop, meter):
    assert technician_in.get(reverse("core:instrument_change", args=[meter.pk])).status_code == 403
