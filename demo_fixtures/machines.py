"""The other machines of the demo, one at each station and one that came back."""

from datetime import timedelta

from demo_fixtures import pictures
from demo_fixtures.demo import Demo, sign
from demo_fixtures.earlier import earlier_record
from demo_fixtures.steps_bench import clean_all, descale, mend_all, rinse
from demo_fixtures.steps_coffee import pull, run_button, set_recipe, weigh
from demo_fixtures.steps_intake import finish_intake, log, mark
from demo_fixtures.steps_prove import look_again, read_all
from demo_fixtures.steps_sale import reserve, set_price
from handover import buyer_links, films, returns
from handover import services as handing
from handover.cue_words import Cue
from handover.words import Trouble
from intake import services as intake
from intake.photos import open_photo, take_in
from intake.words import AsFoundAnswer, FindingEnd, PhotoFor
from workshop.bench.services import as_found, clean, work
from workshop.bench.words import Cleaned
from workshop.core import services
from workshop.core.acts import Act
from workshop.core.models import Job
from workshop.pricing import services as pricing
from workshop.pricing.models import Sale
from workshop.trade.condition.scoring import Face, MarkKind, Shows
from workshop.trade.money.ways import Outlook, Way


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
    earlier_record(demo, 12, job)
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


def _proved_wren(
    demo: Demo, days_ago: int, serial: str, seller: str, seed: int, place: str, drawn: tuple[str, ...] = ()
) -> Job:
    job = log(demo, days_ago, "Wren", 6500, seed, drawn=drawn, seller_name=seller, place=place, serial=serial)
    mark(demo, days_ago, job, Face.LEFT, "low-middle", MarkKind.SCRATCH, "24", Shows.CLOSE_UP)
    finish_intake(demo, days_ago, job)
    clean_all(demo, days_ago - 1, job, 40)
    descale(demo, days_ago - 1, job)
    rinse(demo, days_ago - 2, job)
    mend_all(demo, days_ago - 3, job, group="Group seal 8.0 mm", lock_in="half past 6", minutes=25)
    read_all(demo, days_ago - 4, job)
    pull(demo, days_ago - 4.2, job, WREN_SHOTS)
    look_again(demo, days_ago - 4.26, job, drawn)
    weigh(demo, days_ago - 4.3, job, "8", (("3", "7.1", 1), ("7.5", "18.1", 1)))
    run_button(demo, days_ago - 4.33, job, "two cups button", "8", ("35.6", "36.4", "36.1"))
    set_recipe(demo, days_ago - 5, job, dose_dial="7.5 s", left_set_at="8")
    work.add_work(demo.act(days_ago - 5), job, station="PROVE", what="Proved and dialled in", minutes=50, part=None)
    sign(demo, days_ago - 5, job, "PROVE")
    return job


def at_price(demo: Demo) -> Job:
    """A thermoblock, proved and not priced yet; it was drawn for a spot-check."""
    return _proved_wren(demo, 10, "W16-0931", "K. Wray", 6, "Shelf B", drawn=("pressure", "ready"))


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
    shows = [Cue.FILL.value, Cue.GRIND.value, Cue.LOCK.value, Cue.POUR.value]
    address = "https://films.example/wren-first-coffee"
    films.keep(demo.act(66, demo.owner), job, address=address, filmed_on=demo.day(66), shows=shows)
    told = {"trouble": Trouble.WATER, "since": "the weekend", "words": "It drips from the handle when I pull a shot."}
    link = buyer_links.standing(job)
    if link:
        buyer_links.write_to_us(link, demo.now - timedelta(days=1), key="the first morning", **told)
    asked = (
        ("What changed just before?", "Nothing, the same coffee."),
        ("How does it come in?", "By tram, with its handle."),
    )
    here = returns.NewReturn("It drips from the handle when I pull a shot", asked, place="Wet bench")
    returns.open_return(Act(demo.owner, demo.now - timedelta(hours=3)), job, here)
