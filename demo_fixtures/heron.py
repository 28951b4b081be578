"""The two heat exchangers: one ready to hand over, one at Prove with a wild shot."""

from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo, sign
from demo_fixtures.machines import _decide_to_mend
from demo_fixtures.steps_bench import clean_all, descale, mend_all, rinse
from demo_fixtures.steps_coffee import pull, set_recipe, weigh
from demo_fixtures.steps_intake import finish_intake, log, mark
from demo_fixtures.steps_prove import look_again, read_all, read_card, under_the_lid
from demo_fixtures.steps_sale import reserve, set_price
from handover import services as handing
from intake import services as intake
from intake.seller_record import STANDARD_WORDS
from workshop.bench.card_items.water import FIRST_CYCLE, SECOND_CYCLE
from workshop.bench.services import pauses, prove, work
from workshop.bench.services.measured import Typed
from workshop.core import services
from workshop.core.models import Instrument, Job, Shop
from workshop.parts.models import Part
from workshop.trade.condition.scoring import Face, MarkKind, Shows

HERON_SHOTS = (
    ("18", "16.4", "35", "17.5", ""),
    ("15", "16.5", "34", "21", ""),
    ("13", "16.6", "47", "12", "sprayed: a channel"),
    ("10", "16.5", "33", "33", ""),
    ("12", "16.5", "34", "26", ""),
    ("12", "16.5", "34", "26.5", ""),
)

# (mark on the dose dial, grams in all, portions)
HERON_DOSES = (
    ("10 o'clock", "8.1", 3),
    ("half past 2", "16.6", 3),
    ("half past 12", "12.9", 3),
    ("half past 2", "16.4", 3),
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
    for code in ("before-lid", "safe-to-power"):
        read_card(demo, 15, job, code)
    prove.read(demo.act(14.97), job, FIRST_CYCLE, Typed(answer="good"))
    prove.read(demo.act(14.88), job, SECOND_CYCLE, Typed(answer="good"))
    read_all(demo, 14.8, job)
    pull(demo, 14, job, HERON_SHOTS)
    weigh(demo, 13.8, job, "12", HERON_DOSES)
    set_recipe(demo, 13, job, dose_dial="half past 2", portions=3, left_set_at="12")
    work.add_work(demo.act(13), job, station="PROVE", what="Proved and dialled in", minutes=75, part=None)
    sign(demo, 13, job, "PROVE")
    set_price(demo, 12, job, 52000)
    reserve(demo, 6, job, "M. Tolland", "01632 960155", 52000, in_days=3)
    handing.receive(
        demo.act(1), job, lines=["filter handle", "4 baskets", "tamper", "brush", "milk jug", "maker's manual"]
    )
    return job


HERON_SEEN: dict[int, dict[str, Any]] = {
    0: {"flow": "GUSH", "crema": "THIN", "tastes": ["SOUR", "WATERY"]},
    2: {"first_drip_s": D("5.8"), "flow": "STRINGS", "crema": "FULL", "spouts": "EVEN", "tastes": ["SOUR"]},
    3: {
        "first_drip_s": D("11.4"),
        "tds_percent": D("10.9"),
        "gauge_from": "11 o'clock",
        "gauge_to": "1 o'clock",
        "flow": "DRIPS",
        "crema": "FULL",
        "spouts": "EVEN",
        "tastes": ["BITTER", "HEAVY"],
    },
    4: {"first_drip_s": D("4.1"), "flow": "GUSH", "spouts": "UNEVEN"},
}


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
    read_card(demo, 14, job, "before-lid")
    for code in ("case_shut", "visual"):
        prove.read(demo.act(13.98), job, code, Typed(answer="good"))
    prove.read(demo.act(13.97), job, "earth", Typed(value=D("0.41"), instrument=earth))
    work.open_case(demo.act(13.9), job, why="loose earth tag under the tray")
    work.add_work(demo.act(13.9), job, station="MEND", what="Earth tag cleaned and tightened", minutes=15, part=None)
    look_again(demo, 13.85, job, under_the_lid(job))  # the earth tag is mains-side work
    work.shut_case(demo.act(13.8), job)
    for code in ("case_shut", "visual"):
        prove.read(demo.act(13.7), job, code, Typed(answer="good"))
    with_leads = Typed(value=D("0.17"), lead_ohm=D("0.06"), test_current_a=D("0.2"), instrument=earth)
    prove.read(demo.act(13.69), job, "earth", with_leads)
    insulation = Instrument.objects.get(kind="INSULATION")
    prove.read(
        demo.act(13.68), job, "insulation", Typed(value=D("99.9"), sign=">", instrument=insulation, test_volts=500)
    )
    look_again(demo, 13.66, job, ("visual", "earth", "insulation"))  # the earth tag is mains-side work
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
    pull(demo, 2, job, rows, HERON_SEEN)
    prove.read(demo.act(1.91), job, "drip_cold", Typed(answer="good"))
    pauses.pause(demo.act(1.9), job, "pressure")
    services.begin_wait(
        demo.act(3), job, station="PROVE", kind="PART", what="a vacuum valve", who="Sam", look_again_on=demo.day(-2)
    )
