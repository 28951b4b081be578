"""Seven invented machines, one at each station, one that came back: laid through the services.

Every act is dated back from `now`, so that the demo looks alive on any day.
"""

from datetime import datetime, timedelta
from decimal import Decimal as D

from django.db import transaction

from demo_fixtures import house
from demo_fixtures.demo import Demo
from demo_fixtures.heron import at_prove, ready_to_hand_over
from demo_fixtures.machines import at_clean, at_intake, at_mend, at_price, came_back
from demo_fixtures.sightings import sightings
from demo_fixtures.steps_sale import sell_beside, send_to_read
from handover import consents, contacts
from handover.pdf import PdfUnavailable
from handover.words_after import ConsentHow, ContactHow, ContactWith
from workshop.bench.services import own_limits
from workshop.bench.words import OwnMeasure
from workshop.core import services
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, User
from workshop.parts import services as parts
from workshop.trade.safety.electrical import PROFILES


def open_house(now: datetime) -> Demo:
    """Set the workshop up on an empty database: people, instruments, model notes, places, a drawer of parts."""
    owner = services.first_owner(**house.OWNER)
    opening = Act(by=owner, at=now - timedelta(days=90))
    services.save_shop(opening, None, 0, house.SHOP)
    services.add_user(opening, **house.TECHNICIAN)
    for instrument in house.INSTRUMENTS:
        days = house.CALIBRATED_DAYS.get(instrument["kind"])
        due = {"calibration_due_on": (now + timedelta(days=days)).date()} if days else {}
        services.add_instrument(opening, instrument | due)
    own_limits.set_limit(
        opening, PROFILES[house.SHOP["profile"]], OwnMeasure.LEAKAGE, low=None, high=D("3.5"), reason=""
    )
    for notes in house.MODELS:
        services.save_notes(opening, None, 0, notes)
    for name in house.PLACES:
        services.place_named(name)
    _fill_drawer(opening)
    return Demo(now, owner, User.objects.get(username=house.TECHNICIAN["username"]))


def lay(now: datetime) -> Job:
    """Lay the whole scenario on an empty database and return the job whose sheet is to be issued."""
    demo = open_house(now)
    ready = ready_to_hand_over(demo)
    sell_beside(demo, 6, ready)
    at_prove(demo)
    at_mend(demo)
    at_clean(demo)
    at_intake(demo)
    send_to_read(demo, 1, at_price(demo))
    try:
        with transaction.atomic():
            came_back(demo)
    except Refused as refused:  # nothing is handed over without a sheet, so here nothing came back either
        if not isinstance(refused.__cause__, PdfUnavailable):
            raise
    asked_about(demo, ready)
    sightings(demo)
    return ready


def asked_about(demo: Demo, job: Job) -> None:
    """What the buyer of the reserved machine asked by phone, and that they agreed to care reminders."""
    note = contacts.NewNote(
        ContactHow.CALL,
        ContactWith.BUYER,
        demo.day(2),
        "Will it fit under a shelf of 42 cm?",
        "Yes, it is 39 cm high with the cup tray. Leave room to fill the tank.",
    )
    contacts.keep(demo.act(2, demo.owner), job, note)
    buyer = contacts.buyer_of(job)
    if buyer is not None:
        agreed = consents.NewConsent("m.tolland@example.com", demo.day(2), ConsentHow.SPOKEN)
        consents.record(demo.act(2, demo.owner), job, buyer, agreed)


def _fill_drawer(act: Act) -> None:
    stock = (
        ("Group seal 8.5 mm", "8.5 mm", "EPDM", 6, 420),
        ("Group seal 8.0 mm", "8.0 mm", "EPDM", 4, 380),
        ("Shower screen 58 mm", "58 mm", "stainless steel", 5, 690),
        ("Ring 6.07 x 1.78", "6.07 x 1.78", "EPDM", 20, 35),
        ("Safety valve 1.8 bar", "1.8 bar", "brass", 2, 1450),
        ("Vibratory pump", "", "", 1, 2450),
    )
    for name, size, material, qty, cost_minor in stock:
        parts.add_part(
            act, name=name, size=size, material=material, supplier="Corner seal shop", qty=qty, cost_minor=cost_minor
        )
