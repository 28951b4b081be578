"""Seven invented machines, one at each station, one that came back: laid through the services.

The return alone is a plain row: it has no writer yet.

Every act is dated back from `now`, so that the demo looks alive on any day.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal as D
from typing import Any

from django.db import transaction

from demo_fixtures import house, pictures
from handover import services as handing
from handover.pdf import PdfUnavailable
from handover.services import NewReservation
from intake import services as intake
from intake.photos import Kept, open_photo, take_in
from intake.registers import registers_for
from intake.seller_record import STANDARD_WORDS
from intake.words import AsFoundAnswer, FindingEnd, NothingOf, PhotoFor, RecallFound
from workshop.bench import stations as bench_stations
from workshop.bench.card_items.water import FIRST_CYCLE, SECOND_CYCLE
from workshop.bench.services import as_found, clean, dosing, mend, own_limits, pauses, prove, recipe, shots, spot, work
from workshop.bench.services.dosing import Delivered, Weighed
from workshop.bench.services.measured import Typed
from workshop.bench.services.shots import Pulled
from workshop.bench.words import Cleaned, OwnMeasure
from workshop.core import services, stations
from workshop.core.acts import Act, Refused
from workshop.core.models import Instrument, Job, ModelNotes, Reading, Shop, User
from workshop.core.words import JobKind
from workshop.parts import services as parts
from workshop.parts.models import Part
from workshop.pricing import services as pricing
from workshop.pricing.models import Sale
from workshop.trade.condition.scoring import Face, MarkKind, Shows
from workshop.trade.money.ways import Outlook, Way
from workshop.trade.safety.electrical import PROFILES

FACES = tuple(Face)
SPACED_DAYS = 0.0006  # 52 s from one reading to the next, as a person takes them


@dataclass
class Demo:
    """The demo being laid: who acts, and what day it is."""

    now: datetime
    owner: User
    technician: User

    def act(self, days_ago: float, by: User | None = None) -> Act:
        """Return an act some days ago, by the technician unless said otherwise."""
        return Act(by=by or self.technician, at=self.now - timedelta(days=days_ago))

    def day(self, days_ago: int) -> date:
        """Return the date some days ago (ahead when negative)."""
        return (self.now - timedelta(days=days_ago)).date()


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
    at_prove(demo)
    at_mend(demo)
    at_clean(demo)
    at_intake(demo)
    at_price(demo)
    try:
        with transaction.atomic():
            came_back(demo)
    except Refused as refused:  # nothing is handed over without a sheet, so here nothing came back either
        if not isinstance(refused.__cause__, PdfUnavailable):
            raise
    sightings(demo)
    return ready


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


# --- pieces every machine goes through --------------------------------------------------------------------


def _log(
    demo: Demo, days_ago: int, model: str, price_minor: int, seed: int, *, drawn: tuple[str, ...] = (), **more: Any
) -> Job:
    """Log a machine with photos of its six faces and look all of them over. Chance draws nobody in the demo."""
    act = demo.act(days_ago, demo.owner)
    notes = ModelNotes.objects.get(model=model)
    new = intake.NewMachine(
        notes=notes,
        price_minor=price_minor,
        acquired_on=act.at.date(),
        payment_method="cash",
        **{"bought_at": "at the seller's door", **more},
    )
    entry = intake.log_machine(act, Shop.objects.get(pk=1), new)
    assert entry.job is not None  # noqa: S101 (a machine's first entry speaks of its job)
    spot.keep(act, entry.job, drawn)
    for face in FACES:
        kept = [take_in(pictures.face(face.name, seed))]
        intake.add_photos(demo.act(days_ago, demo.owner), entry.job, kept, face=face.value, purpose=PhotoFor.ARRIVAL)
    return Job.objects.for_page().get(pk=entry.job.pk)


def _mark(demo: Demo, days_ago: float, job: Job, face: Face, zone: str, kind: MarkKind, mm: str, shows: Shows) -> None:
    photo: Kept = take_in(pictures.flaw(kind.name, job.pk * 5 + int(D(mm))))
    new = intake.NewMark(face=face, zone=zone, kind=kind, size_mm=D(mm), shows=shows, photo=photo)
    intake.add_mark(demo.act(days_ago), job, new)


def _finish_intake(demo: Demo, days_ago: float, job: Job, *, findings: Iterable[str] = ()) -> None:
    intake.look_at_all_faces(demo.act(days_ago), job)
    intake.loose_parts_as_usual(demo.act(days_ago), job)
    for words in findings:
        intake.add_finding(demo.act(days_ago), job, words)
    if not job.findings.exists():
        intake.answer_nothing(demo.act(days_ago), job, NothingOf.FOUND)
    if not job.purchase.said:
        intake.answer_nothing(demo.act(days_ago), job, NothingOf.SAID)
    names = [register.label for register in registers_for("GB")]
    intake.record_recall_check(
        demo.act(days_ago), job, looked_on=None, registers=names, found=RecallFound.NOTHING, note=""
    )
    _sign(demo, days_ago, job, "INTAKE")


def _sign(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    from workshop.desk.stations import STATIONS  # the roof's list: this script stands above every floor

    station = next(s for s in STATIONS if s.code == code)
    facts = station.facts([job.pk])[job.pk]
    signer = demo.owner if code == "PRICE" else demo.technician
    services.sign_off(demo.act(days_ago, signer), station, job, seen=stations.fingerprint(facts))


def _clean(demo: Demo, days_ago: float, job: Job, minutes: int) -> None:
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    clean.clean(demo.act(days_ago), job, lines=[(what.value, "") for what in facts.wanted])
    work.add_work(demo.act(days_ago), job, station="CLEAN", what="Cleaned throughout", minutes=minutes, part=None)


def _descale(demo: Demo, days_ago: float, job: Job, runs: int = 1) -> None:
    notes = job.machine.notes
    _make_safe(demo, days_ago, job)
    for _ in range(runs):
        clean.descale(
            demo.act(days_ago),
            job,
            agent=notes.descale_agent,
            strength_percent=notes.descale_strength_percent,
            volume_l=notes.descale_litres,
            minutes=notes.descale_minutes or 30,
            as_usual=True,
        )


def _rinse(demo: Demo, days_ago: float, job: Job) -> None:
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    wanted = {path.path.value: facts.wanted_l(path) for path in facts.paths}
    clean.rinse_all(demo.act(days_ago), job, wanted={path: litres for path, litres in wanted.items() if litres})
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    if facts.measured_check_wanted:
        clean.check_residual(
            demo.act(days_ago),
            job,
            agent=job.machine.notes.descale_agent,
            feed_alkalinity_mg_l=D("5"),
            feed_ph=D("6.6"),
            sample_ph=D("6.3"),
            resolution_ph=D("0.1"),
            instrument=Instrument.objects.get(kind="PH"),
        )
    clean.flush_for_lead(demo.act(days_ago), job, volume_l=D("1.5"), stood_hours=12)
    _sign(demo, days_ago, job, "CLEAN")


def _mend(demo: Demo, days_ago: float, job: Job, *, group: str, lock_in: str, minutes: int) -> None:
    for finding in job.findings.order_by("pk"):
        intake.end_finding(demo.act(days_ago), finding, FindingEnd.MENDED, "mended and tried")
    for seal in job.machine.notes.seals.filter(wears=True).order_by("pk"):
        if seal.is_group:
            mend.answer_seal(
                demo.act(days_ago), job, seal, end="CHANGED", part=Part.objects.get(name=group), lock_in_clock=lock_in
            )
        else:
            mend.answer_seal(demo.act(days_ago), job, seal, end="KEPT", why="soft, no crack, no drip")
    mend.leave_inside_seals(demo.act(days_ago), job)
    screen = Part.objects.get(name="Shower screen 58 mm")
    work.add_work(demo.act(days_ago), job, station="MEND", what="New shower screen", minutes=minutes, part=screen)
    _sign(demo, days_ago, job, "MEND")


_VALUES: dict[str, tuple[str, str]] = {
    "earth": ("0.09", ""),
    "insulation": ("99.9", ">"),
    "pressure": ("9.1", ""),
    "insulation_hot": ("42", ""),
    "debit": ("84", ""),
    "ready": ("14", ""),
    "steam_ready": ("38", ""),
    "back_to_coffee": ("6", ""),
    "pressure_shot": ("9", ""),
    "watts_pumping": ("46", ""),
    "hot_water": ("91", ""),
    "drip_stop": ("3", ""),
}
# How far each value of a series lies from what the model's notes ask for; the water from 92 °C.
_SERIES: dict[str, tuple[str, ...]] = {
    "brew_water": ("-0.5", "0.2", "0.6", "1", "0.4"),
    "button_repeat": ("-0.6", "0.1", "-0.2"),
    "spout_balance": ("0.2", "-0.4"),
    "dose_repeat": ("0.1", "-0.1", "0", "0.3", "0"),
}
_STEAM: dict[str, str | D] = {
    "liquid": "water",
    "grams": D("250"),
    "start_c": D("14"),
    "end_c": D("61"),
    "time_s": D("47"),
}


def _read_all(demo: Demo, days_ago: float, job: Job) -> None:
    """Read every item still open on the cards of this machine, card by card, with plausible values of its own."""
    for card in bench_stations.PROVE.facts([job.pk])[job.pk].every_card:
        _read_card(demo, days_ago, job, card.code)


def _make_safe(demo: Demo, days_ago: float, job: Job) -> None:
    """Read what stands before the first act that needs mains."""
    _read_card(demo, days_ago, job, "safe-to-power")


def _read_card(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    from workshop.bench.facts.prove import ItemState

    facts = bench_stations.PROVE.facts([job.pk])[job.pk]
    for standing in facts.states.values():
        if standing.home == code and standing.state in (ItemState.OPEN, ItemState.WITHDRAWN):
            at = days_ago - SPACED_DAYS * Reading.objects.filter(job=job).count()
            prove.read(demo.act(at), job, standing.item.code, _typed(job, standing.item))


def _look_again(demo: Demo, days_ago: float, job: Job, codes: Iterable[str]) -> None:
    """Let the owner read items a second time, each in the technician's stead."""
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    for n, code in enumerate(codes):
        typed = replace(_typed(job, states[code].item), second_look=True)
        prove.read(demo.act(days_ago - SPACED_DAYS * n, demo.owner), job, code, typed)


def _typed(job: Job, item: Any) -> Typed:
    if item.seen:
        return Typed(answer="good")
    instrument = Instrument.objects.filter(kind=item.instrument).first() if item.instrument else None
    if item.draws:
        return Typed(series=_series(job.machine.notes, item.code), instrument=instrument)
    if item.inputs:
        return Typed(inputs=_STEAM, instrument=instrument)
    if item.code == "watts_heating":
        return Typed(value=D(job.machine.watts or 1000) * D("0.99"))
    value, sign = _VALUES[item.code]
    warm = job.machine.notes.warm_up_low_min
    shown = D(warm) if item.code == "ready" and warm else D(value)
    volts = 500 if item.code.startswith("insulation") else None
    return Typed(value=shown, sign=sign, instrument=instrument, test_volts=volts)


def _series(notes: ModelNotes, code: str) -> tuple[D, ...]:
    cup = notes.yield_g or D(34)
    middle = {"brew_water": D(92), "button_repeat": cup, "spout_balance": cup / 2}.get(code, notes.dose_g or D(16))
    return tuple(middle.quantize(D("0.1")) + D(off) for off in _SERIES[code])


def _pull(
    demo: Demo,
    days_ago: float,
    job: Job,
    rows: Iterable[tuple[str, str, str, str, str]],
    seen: Mapping[int, dict[str, Any]] | None = None,
) -> None:
    """Pull shots: rows of (setting, dose, yield, seconds, why spoilt or nothing), and what was seen, by place."""
    for at, (setting, dose_g, yield_g, time_s, why) in enumerate(rows):
        pulled = Pulled(
            setting=setting,
            dose_g=D(dose_g),
            yield_g=D(yield_g),
            time_s=D(time_s),
            new_coffee="house beans",
            roast_words="medium",
            roasted_on=demo.day(int(days_ago) + 8),
            opened_on=demo.day(int(days_ago) + 3),
            basket="Double",
            spoilt=bool(why),
            why_spoilt=why,
            **(seen or {}).get(at, {}),
        )
        shots.add_shot(demo.act(days_ago - at * 0.004), job, pulled)


def _recipe(demo: Demo, days_ago: float, job: Job, **words: Any) -> None:
    notes = job.machine.notes
    recipe.set_recipe(
        demo.act(days_ago),
        job,
        {
            "basket": "Double",
            "dose_tolerance_g": D("0.3"),
            "portions": 1,
            "tamp_cue": notes.tamp_cue,
            "lock_in": "half past 6",
            "gauge_zone": "10 to 2 o'clock" if notes.has_gauge else "",
            "ready_low_min": notes.warm_up_low_min,
            "ready_high_min": notes.warm_up_high_min,
            "blank_shots": notes.blank_shots,
            "steam_ready_s": D("38"),
            "back_to_coffee_s": D("6"),
            "back_to_coffee": notes.back_to_coffee,
            **words,
        },
    )


def _weigh(demo: Demo, days_ago: float, job: Job, setting: str, rows: Iterable[tuple[str, str, int]]) -> None:
    """Weigh doses: rows of (length or mark, grams in all, portions)."""
    for at, (length, dose_g, portions) in enumerate(rows):
        weighed = Weighed(length=length, dose_g=D(dose_g), setting=setting, portions=portions)
        dosing.add_dose(demo.act(days_ago - at * 0.002), job, weighed)


def _button(demo: Demo, days_ago: float, job: Job, button: str, setting: str, rows: Iterable[str]) -> None:
    """Teach a timed button and weigh it, run after run."""
    for at, grams in enumerate(rows):
        run = Delivered(button, "TIMED", "COFFEE", D(grams), setting=setting, taught_anew=at == 0)
        dosing.add_button_run(demo.act(days_ago - at * 0.002), job, run)


def _price(demo: Demo, days_ago: float, job: Job, price_minor: int) -> None:
    intake.look_again(demo.act(days_ago), job)
    pricing.set_asking_price(demo.act(days_ago, demo.owner), job, price_minor=price_minor)
    _sign(demo, days_ago, job, "PRICE")


def _reserve(demo: Demo, days_ago: float, job: Job, buyer: str, phone: str, price_minor: int, in_days: int) -> None:
    handing.tell(demo.act(days_ago, demo.owner), job, how="SCREEN")
    new = NewReservation(
        buyer_name=buyer,
        buyer_phone=phone,
        price_minor=price_minor,
        collect_on=demo.day(-in_days),
        agreed="With the small jug. All marks shown.",
        drinks_per_day=D("4"),
        milk_drinks_per_day=D("2"),
        water="SAME",
        hardness_mg_l=None,
        has_scale="YES",
    )
    handing.reserve(demo.act(days_ago, demo.owner), job, new)
    sale = Sale.objects.get(job=job, cancelled_at__isnull=True)
    pricing.record_payment(demo.act(days_ago, demo.owner), sale, 8000, "card", "deposit")


# --- the seven machines ----------------------------------------------------------------------------------

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
    job = _log(
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
    _mark(demo, 24, job, Face.LEFT, "low-left", MarkKind.SCRATCH, "32", Shows.ARMS_LENGTH)
    _mark(demo, 24, job, Face.TOP, "middle", MarkKind.DENT, "6", Shows.FELT)
    _mark(demo, 24, job, Face.UNDER, "low-middle", MarkKind.STAIN, "20", Shows.CLOSE_UP)
    _finish_intake(demo, 24, job)
    _clean(demo, 20, job, 50)
    _descale(demo, 20, job, runs=2)
    _rinse(demo, 19, job)
    work.open_case(demo.act(18), job, why="safety valve")
    valve = Part.objects.get(name="Safety valve 1.8 bar")
    work.add_work(demo.act(18), job, station="MEND", what="New safety valve, 1.8 bar", minutes=40, part=valve)
    work.shut_case(demo.act(17.9), job)
    _mend(demo, 17, job, group="Group seal 8.5 mm", lock_in="half past 6", minutes=35)
    for code in ("before-lid", "safe-to-power"):
        _read_card(demo, 15, job, code)
    prove.read(demo.act(14.98), job, FIRST_CYCLE, Typed(answer="good"))
    prove.read(demo.act(14.88), job, SECOND_CYCLE, Typed(answer="good"))
    _read_all(demo, 14.8, job)
    _pull(demo, 14, job, HERON_SHOTS)
    _weigh(demo, 13.5, job, "12", HERON_DOSES)
    _recipe(demo, 13, job, dose_dial="half past 2", portions=3, left_set_at="12")
    work.add_work(demo.act(13), job, station="PROVE", what="Proved and dialled in", minutes=75, part=None)
    _sign(demo, 13, job, "PROVE")
    _price(demo, 12, job, 52000)
    _reserve(demo, 6, job, "M. Tolland", "01632 960155", 52000, in_days=3)
    handing.receive(
        demo.act(1), job, lines=["filter handle", "4 baskets (page 1)", "tamper", "brush", "milk jug", "maker's manual"]
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
    job = _log(
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
    _mark(demo, 16, job, Face.FRONT, "low-left", MarkKind.SCRATCH, "18", Shows.CLOSE_UP)
    _finish_intake(demo, 16, job)
    _decide_to_mend(demo, 15, job)
    earth = Instrument.objects.get(kind="EARTH")
    for code in ("case_shut", "visual"):
        prove.read(demo.act(14), job, code, Typed(answer="good"))
    prove.read(demo.act(13.99), job, "earth", Typed(value=D("0.41"), instrument=earth))
    work.open_case(demo.act(13.9), job, why="loose earth tag under the tray")
    work.add_work(demo.act(13.9), job, station="MEND", what="Earth tag cleaned and tightened", minutes=15, part=None)
    work.shut_case(demo.act(13.8), job)
    for code in ("case_shut", "visual"):
        prove.read(demo.act(13.7), job, code, Typed(answer="good"))
    with_leads = Typed(value=D("0.17"), lead_ohm=D("0.06"), test_current_a=D("0.2"), instrument=earth)
    prove.read(demo.act(13.69), job, "earth", with_leads)
    insulation = Instrument.objects.get(kind="INSULATION")
    prove.read(
        demo.act(13.68), job, "insulation", Typed(value=D("99.9"), sign=">", instrument=insulation, test_volts=500)
    )
    _look_again(demo, 13.6, job, ("visual", "earth", "insulation"))  # the earth tag is mains-side work
    _clean(demo, 12, job, 45)
    _descale(demo, 12, job)
    _rinse(demo, 11, job)
    _mend(demo, 10, job, group="Group seal 8.5 mm", lock_in="6 o'clock", minutes=30)
    rows = (
        ("18", "17.6", "38", "13", ""),
        ("15", "17.4", "37", "18.5", ""),
        ("15", "17.5", "36", "20", ""),
        ("10", "17.5", "34", "37.5", ""),
        ("13", "17.6", "41", "13", "sprayed: a channel"),
    )
    _pull(demo, 2, job, rows, HERON_SEEN)
    prove.read(demo.act(1.91), job, "plug_fits", Typed(answer="good"))
    pauses.pause(demo.act(1.9), job, "plate_volts")
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
    job = _log(
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
    _mark(demo, 12, job, Face.BACK, "middle", MarkKind.RUST, "9", Shows.ARMS_LENGTH)
    _finish_intake(demo, 12, job, findings=["Steam tap drips", "Ready light does not go out"])
    _clean(demo, 9, job, 40)
    _descale(demo, 9, job)
    _rinse(demo, 8, job)
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
    job = _log(
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
    _mark(demo, 7, job, Face.RIGHT, "high-right", MarkKind.SCRATCH, "40", Shows.ARMS_LENGTH)
    _finish_intake(demo, 7, job)
    clean.clean(demo.act(3), job, lines=[(Cleaned.TANK.value, ""), (Cleaned.TRAY.value, ""), (Cleaned.CASE.value, "")])
    _descale(demo, 2, job, runs=2)


def at_intake(demo: Demo) -> None:
    """A single boiler that came in yesterday, in a bag for its mould: no serial to read, its seller still owed."""
    job = _log(
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
    _mark(demo, 1, job, Face.FRONT, "middle", MarkKind.SCRATCH, "12", Shows.CLOSE_UP)
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
    job = _log(demo, days_ago, "Wren", 6500, seed, drawn=drawn, seller_name=seller, place=place, serial=serial)
    _mark(demo, days_ago, job, Face.LEFT, "low-middle", MarkKind.SCRATCH, "24", Shows.CLOSE_UP)
    _finish_intake(demo, days_ago, job)
    _clean(demo, days_ago - 1, job, 40)
    _descale(demo, days_ago - 1, job)
    _rinse(demo, days_ago - 2, job)
    _mend(demo, days_ago - 3, job, group="Group seal 8.0 mm", lock_in="half past 6", minutes=25)
    _read_all(demo, days_ago - 4, job)
    _pull(demo, days_ago - 4, job, WREN_SHOTS)
    _look_again(demo, days_ago - 4.5, job, drawn)
    _weigh(demo, days_ago - 4.5, job, "8", (("3", "7.1", 1), ("7.5", "18.1", 1)))
    _button(demo, days_ago - 4.8, job, "two cups button", "8", ("35.6", "36.4", "36.1"))
    _recipe(demo, days_ago - 5, job, dose_dial="7.5 s", left_set_at="8")
    work.add_work(demo.act(days_ago - 5), job, station="PROVE", what="Proved and dialled in", minutes=50, part=None)
    _sign(demo, days_ago - 5, job, "PROVE")
    return job


def at_price(demo: Demo) -> None:
    """A thermoblock, proved and not priced yet; it was drawn for a spot-check."""
    _proved_wren(demo, 10, "W16-0931", "K. Wray", 6, "Shelf B", drawn=("pressure", "ready"))


def came_back(demo: Demo) -> None:
    """A thermoblock sold two months ago that came back today with a complaint in the buyer's words."""
    job = _proved_wren(demo, 80, "W16-0415", "D. Lune", 7, "Shelf B")
    _price(demo, 72, job, 31000)
    _reserve(demo, 70, job, "P. Sund", "01632 960190", 31000, in_days=-66)
    pricing.record_payment(demo.act(66, demo.owner), Sale.objects.get(job=job), 23000, "card", "balance")
    handing.receive(demo.act(66), job, lines=["filter handle", "double basket", "milk jug"])
    handing.issue(demo.act(66, demo.owner), job, photo=open_photo)
    handing.answer_new_since(demo.act(66, demo.owner), job, words="")
    _sign(demo, 66, job, "HANDOVER")
    handing.hand_over(demo.act(66, demo.owner), job, owed_words="")
    Job.objects.create(
        machine=job.machine,
        kind=JobKind.CAME_BACK,
        first_job=job,
        complaint="It drips from the handle when I pull a shot",
        opened_at=demo.now - timedelta(hours=3),
    )


def sightings(demo: Demo) -> None:
    """Two machines looked at and not bought yet: one of a model sold before, one of a model never seen here."""
    shop = Shop.objects.get(pk=1)
    wren: dict[str, Any] = {
        "notes": ModelNotes.objects.get(model="Wren"),
        "kind": "THERMOBLOCK",
        "asked_minor": 9000,
        "seller_name": "E. Corrie",
        "seller_phone": "01632 960162",
        "said": "Two lights stay dark. It was never descaled.",
        "price_minor": 31000,
        "minutes": 150,
        "parts_minor": 1100,
        "profit_minor": 6000,
        "not_mended_percent": D("10"),
        "salvage_minor": 2500,
    }
    lever: dict[str, Any] = {
        "maker": "Hollin",
        "model": "Dunlin",
        "kind": "LEVER",
        "asked_minor": 16000,
        "said": "The lever slips near the top. The boiler is green at the seams.",
        "price_minor": 28000,
        "minutes": 420,
        "parts_minor": 5500,
        "profit_minor": 6000,
        "not_mended_percent": D("25"),
        "salvage_minor": 4000,
    }
    pricing.keep_sighting(demo.act(2, demo.owner), shop, wren)
    pricing.keep_sighting(demo.act(1, demo.owner), shop, lever)
