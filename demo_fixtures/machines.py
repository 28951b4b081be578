"""Seven invented machines, one at each station, one that came back: laid through the services.

The return alone is a plain row: it has no writer yet.
"""

from datetime import timedelta
from decimal import Decimal as D

from demo_fixtures import pictures
from demo_fixtures.demo import Demo, sign
from demo_fixtures.steps_bench import clean_all, descale, mend_all, pull, read_all, rinse, set_recipe
from demo_fixtures.steps_intake import finish_intake, log, mark
from demo_fixtures.steps_sale import reserve, set_price
from handover import services as handing
from intake import services as intake
from intake.photos import open_photo, take_in
from intake.seller_record import STANDARD_WORDS
from intake.words import AsFoundAnswer, FindingEnd, PhotoFor
from workshop.bench.services import as_found, clean, prove, work
from workshop.bench.services.prove import Typed
from workshop.bench.words import Cleaned
from workshop.core import services
from workshop.core.models import Instrument, Job, Shop
from workshop.core.words import JobKind
from workshop.parts.models import Part
from workshop.pricing import services as pricing
from workshop.pricing.models import Sale
from workshop.trade.condition.scoring import Face, MarkKind, Shows
from workshop.trade.money.ways import Outlook, Way

HERON_SHOTS = (
    ("18", "16.4", "35", "17.5", ""),
    ("15", "16.5", "34", "21", ""),
    ("13", "16.6", "47", "12", "sprayed: a channel"),
    ("10", "16.5", "33", "33", ""),
    ("12", "16.5", "34", "26", ""),
    ("12", "16.5", "34", "26.5", ""),
)


def ready_to_hand_over(demo: Demo) -> Job:
    """A heat exchanger, done and reserved: its sheet is issued at the end of the demo's first start."""
    job = log(
        demo,
        24,
        "Heron",
        11000,
        1,
        seller_name="A private seller",
        seller_phone="01632 960122",
        place="Counter",
        serial="7731-08",
        said="It worked when we moved house. It stood in the garage for a year.",
    )
    record = {"address": "4 Tannery Steps, Hollowbeck", "tax_status": "PRIVATE", "declared_words": STANDARD_WORDS}
    owner = demo.act(24, demo.owner)
    intake.save_seller_record(owner, Shop.objects.get(pk=1), job.purchase, 0, record | {"accepted_by": demo.owner})
    mark(demo, 24, job, Face.LEFT, "low-left", MarkKind.SCRATCH, "32", Shows.ARMS_LENGTH)
    mark(demo, 24, job, Face.TOP, "middle", MarkKind.DENT, "6", Shows.FELT)
    mark(demo, 24, job, Face.UNDER, "low-middle", MarkKind.STAIN, "20", Shows.CLOSE_UP)
    finish_intake(demo, 24, job)
    clean_all(demo, 20, job, 50)
    descale(demo, 20, job, runs=2)
    rinse(demo, 19, job)
    work.open_case(demo.act(18), job, why="safety valve")
    valve = Part.objects.get(name="Safety valve 1.8 bar")
    work.add_work(demo.act(18), job, station="MEND", what="New safety valve, 1.8 bar", minutes=40, part=valve)
    work.shut_case(demo.act(17.9), job)
    mend_all(demo, 17, job, group="Group seal 8.5 mm", lock_in="half past 6", minutes=35)
    read_all(demo, 15, job)
    pull(demo, 14, job, HERON_SHOTS)
    set_recipe(demo, 13, job, dose_dial="half past 2", portions=3, left_set_at="12")
    work.add_work(demo.act(13), job, station="PROVE", what="Proved and dialled in", minutes=75, part=None)
    sign(demo, 13, job, "PROVE")
    set_price(demo, 12, job, 52000)
    reserve(demo, 6, job, "M. Tolland", "01632 960155", 52000, in_days=3)
    handing.receive(
        demo.act(1), job, lines=["filter handle", "4 baskets (page 1)", "tamper", "brush", "milk jug", "maker's manual"]
    )
    return job


def at_prove(demo: Demo) -> None:
    """A heat exchanger at Prove: an earth reading that failed, was mended and read again; a wild shot."""
    job = log(
        demo,
        16,
        "Heron",
        9500,
        2,
        seller_name="R. Osgood",
        seller_phone="01632 960131",
        place="Bench, left",
        serial="7731-44",
    )
    mark(demo, 16, job, Face.FRONT, "low-left", MarkKind.SCRATCH, "18", Shows.CLOSE_UP)
    finish_intake(demo, 16, job)
    _decide_to_mend(demo, 15, job)
    earth = Instrument.objects.get(kind="EARTH")
    for code in ("case_shut", "visual"):
        prove.read(demo.act(14), job, code, Typed(answer="good"))
    prove.read(demo.act(14), job, "earth", Typed(value=D("0.41"), instrument=earth))
    work.open_case(demo.act(13.9), job, why="loose earth tag under the tray")
    work.add_work(demo.act(13.9), job, station="MEND", what="Earth tag cleaned and tightened", minutes=15, part=None)
    work.shut_case(demo.act(13.8), job)
    for code in ("case_shut", "visual"):
        prove.read(demo.act(13.7), job, code, Typed(answer="good"))
    prove.read(demo.act(13.7), job, "earth", Typed(value=D("0.11"), instrument=earth))
    insulation = Instrument.objects.get(kind="INSULATION")
    prove.read(
        demo.act(13.7), job, "insulation", Typed(value=D("99.9"), sign=">", instrument=insulation, test_volts=500)
    )
    clean_all(demo, 12, job, 45)
    descale(demo, 12, job)
    rinse(demo, 11, job)
    mend_all(demo, 10, job, group="Group seal 8.5 mm", lock_in="6 o'clock", minutes=30)
    rows = (
        ("18", "17.6", "38", "13", ""),
        ("15", "17.4", "37", "18.5", ""),
        ("15", "17.5", "36", "20", ""),
        ("10", "17.5", "34", "37.5", ""),
        ("13", "17.6", "41", "13", "sprayed: a channel"),
    )
    pull(demo, 2, job, rows)
    services.begin_wait(
        demo.act(3), job, station="PROVE", kind="PART", what="a vacuum valve", who="Sam", look_again_on=demo.day(-2)
    )


def _decide_to_mend(demo: Demo, days_ago: float, job: Job) -> None:
    thought = Outlook(
        minutes=240,
        parts_minor=2600,
        price_minor=43000,
        in_ten=8,
        strip_minor=9500,
        strip_minutes=90,
        pass_on_minor=7000,
    )
    because = "the boiler is sound, and this model is asked for"
    act = demo.act(days_ago, demo.owner)
    pricing.decide(act, job, way=Way.MEND, because=because, minutes=thought.minutes, outlook=thought)


def at_mend(demo: Demo) -> None:
    """A lever valve single boiler at Mend: a worn ring with two candidate sizes, a wait for a decision."""
    job = log(
        demo,
        12,
        "Plover",
        4500,
        3,
        seller_name="A house clearance",
        place="Bench, right",
        serial="P-2209",
        said="The steam tap drips.",
    )
    mark(demo, 12, job, Face.BACK, "middle", MarkKind.RUST, "9", Shows.ARMS_LENGTH)
    finish_intake(demo, 12, job, findings=["Steam tap drips", "Ready light does not go out"])
    clean_all(demo, 9, job, 40)
    descale(demo, 9, job)
    rinse(demo, 8, job)
    first = job.findings.order_by("pk").first()
    if first is not None:
        intake.end_finding(demo.act(6), first, FindingEnd.MENDED, "new ring in the steam tap")
    services.begin_wait(
        demo.act(4),
        job,
        station="MEND",
        kind="DECISION",
        what="a decision: mend the thermostat, or strip it",
        who="Ana",
        look_again_on=demo.day(-1),
    )


def at_clean(demo: Demo) -> None:
    """A thermoblock at Clean and descale, with two runs and the rinse still to do."""
    job = log(
        demo,
        7,
        "Wren",
        6000,
        4,
        seller_name="J. Pell",
        seller_phone="01632 960177",
        place="Wet bench",
        serial="W16-0812",
    )
    mark(demo, 7, job, Face.RIGHT, "high-right", MarkKind.SCRATCH, "40", Shows.ARMS_LENGTH)
    finish_intake(demo, 7, job)
    clean.clean(demo.act(3), job, lines=[(Cleaned.TANK.value, ""), (Cleaned.TRAY.value, ""), (Cleaned.CASE.value, "")])
    descale(demo, 2, job, runs=2)


def at_intake(demo: Demo) -> None:
    """A single boiler that came in yesterday, in a bag for its mould: no serial to read, its seller still owed."""
    job = log(
        demo,
        1,
        "Plover",
        3800,
        5,
        seller_name="T. Harrow",
        seller_phone="01632 960188",
        place="Shelf A",
        serial_unreadable=True,
        said="We never descaled it.",
    )
    kept = [take_in(pictures.plate(5))]
    intake.add_photos(demo.act(1, demo.owner), job, kept, face="", purpose=PhotoFor.PLATE)
    mark(demo, 1, job, Face.FRONT, "middle", MarkKind.SCRATCH, "12", Shows.CLOSE_UP)
    pricing.owe_seller(demo.act(1, demo.owner), job.purchase)
    as_found.note_seen_running(demo.act(1, demo.owner), job, ("powers", "heats"), seen_on=demo.day(1))
    answers = (
        ("vermin", AsFoundAnswer.FAULT, "green in the tank"),
        ("smells", AsFoundAnswer.WORKS, ""),
        ("buttons", AsFoundAnswer.CANNOT_TELL, "the steam knob is stiff"),
    )
    for at, (code, pressed, words) in enumerate(answers):
        as_found.answer(demo.act(0.8 - at * 0.001), job, code, pressed=pressed, words=words)


WREN_SHOTS = (
    ("6", "18", "36", "38", ""),
    ("9", "18", "36", "22", ""),
    ("8", "18", "36", "27", ""),
    ("8", "18", "36", "28", ""),
)


def _proved_wren(demo: Demo, days_ago: int, serial: str, seller: str, seed: int, place: str) -> Job:
    job = log(demo, days_ago, "Wren", 6500, seed, seller_name=seller, place=place, serial=serial)
    mark(demo, days_ago, job, Face.LEFT, "low-middle", MarkKind.SCRATCH, "24", Shows.CLOSE_UP)
    finish_intake(demo, days_ago, job)
    clean_all(demo, days_ago - 1, job, 40)
    descale(demo, days_ago - 1, job)
    rinse(demo, days_ago - 2, job)
    mend_all(demo, days_ago - 3, job, group="Group seal 8.0 mm", lock_in="half past 6", minutes=25)
    read_all(demo, days_ago - 4, job)
    pull(demo, days_ago - 4, job, WREN_SHOTS)
    set_recipe(demo, days_ago - 5, job, left_set_at="8")
    work.add_work(demo.act(days_ago - 5), job, station="PROVE", what="Proved and dialled in", minutes=50, part=None)
    sign(demo, days_ago - 5, job, "PROVE")
    return job


def at_price(demo: Demo) -> None:
    """A thermoblock, proved and not priced yet."""
    _proved_wren(demo, 10, "W16-0931", "K. Wray", 6, "Shelf B")


def came_back(demo: Demo) -> None:
    """A thermoblock sold two months ago that came back today with a complaint in the buyer's words."""
    job = _proved_wren(demo, 80, "W16-0415", "D. Lune", 7, "Shelf B")
    set_price(demo, 72, job, 31000)
    reserve(demo, 70, job, "P. Sund", "01632 960190", 31000, in_days=-66)
    pricing.record_payment(demo.act(66, demo.owner), Sale.objects.get(job=job), 23000, "card", "balance")
    handing.receive(demo.act(66), job, lines=["filter handle", "double basket", "milk jug"])
    handing.issue(demo.act(66, demo.owner), job, photo=open_photo)
    handing.answer_new_since(demo.act(66, demo.owner), job, words="")
    sign(demo, 66, job, "HANDOVER")
    handing.hand_over(demo.act(66, demo.owner), job, owed_words="")
    Job.objects.create(
        machine=job.machine,
        kind=JobKind.CAME_BACK,
        first_job=job,
        complaint="It drips from the handle when I pull a shot",
        opened_at=demo.now - timedelta(hours=3),
    )
