"""What the floors below say in English, told in the buyer's language; what people typed stays as they typed it."""

from decimal import Decimal

import pytest
from django.utils import translation

from handover import retold
from tests.handover import pseudo
from workshop.bench.card_items import cards_for
from workshop.bench.cards import Unit
from workshop.bench.limits import limit_for, seen_limit
from workshop.trade.care.calendar import dated
from workshop.trade.care.intervals import KINDS, CareInputs, tasks
from workshop.trade.care.spans import span
from workshop.trade.safety.electrical import EVERY_VERSION, Appliance, ApplianceClass

N = "\u00a0"
SAID = [
    ("0.09 ohm", f"0,09{N}Ohm"),
    (f"over 99.9{N}megohm", f"über 99,9{N}Megohm"),
    ("0.139 ohm or less", f"0,139{N}Ohm oder weniger"),
    ("88 to 96 °C, no more than 2 °C apart", f"88 bis 96{N}°C, höchstens 2{N}°C auseinander"),
    ("1,400 W", f"1.400{N}W"),
    ("26 s, 25.5 s and 27 s", f"26{N}s, 25,5{N}s und 27{N}s"),
    ("half past 2", f"halb{N}3"),
    ("every 6 weeks", "alle 6 Wochen"),
    (f"Left, low front: dent 6{N}mm, felt with a finger", f"Links, unten vorn: Delle 6{N}mm, mit dem Finger spürbar"),
    ("New group seal", "Neu: Gruppendichtung"),
    ("Group seal, boiler joints: not disturbed", "Gruppendichtung, Kesseldichtungen: nicht angerührt"),
    ("pressure at the group (the instrument is away)", "Druck an der Brühgruppe (das Messgerät ist außer Haus)"),
]  # fmt: skip
TYPED = ["Swapped pump to rotary", "New pump", "The left tap drips a drop a minute", "Milk jug, dented", "kept", ""]


@pytest.mark.parametrize(("english", "german"), SAID)
def test_it_is_told_in_german(english, german):
    with translation.override("de"):
        assert retold.retold(english) == german


@pytest.mark.parametrize("words", [*TYPED, *(english for english, _ in SAID)])
def test_in_english_everything_stays_as_it_came(words):
    for language in ("en", "en-gb"):
        with translation.override(language):
            assert retold.retold(words) == words


@pytest.mark.parametrize("words", TYPED)
def test_what_people_typed_stays_as_they_typed_it(words):
    with translation.override("fr"):
        assert retold.retold(words) == words


def test_what_stands_round_typed_words_is_ours():
    with translation.override("it"):
        assert retold.retold("Mended: the tank's lid") == "Riparato: the tank's lid"
        assert retold.retold(f"Milk jug: dent 6{N}mm, felt with a finger") == (
            f"Milk jug: ammaccatura 6{N}mm, si sente con il dito"
        )


def test_who_measured_on_which_day():
    with translation.override("es"):
        assert retold.by_on(f"Ana, 12{N}May") == f"Ana, 12{N}may"
        assert retold.by_on(f"Tester & Sons, Leeds, 3{N}Sep") == f"Tester & Sons, Leeds, 3{N}sept"
        assert retold.by_on("Ana") == "Ana"


def test_a_german_title_keeps_its_capital_inside_a_sentence():
    with translation.override("de"):
        assert retold.retold("earth path") == "Schutzleiter"
    with translation.override("fr"):
        assert retold.retold("earth path") == "circuit de terre"


@pytest.fixture
def pseudo_language(tmp_path):
    with pseudo.spoken(tmp_path):
        yield


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_no_care_task_is_left_in_english(pseudo_language, kind):
    inputs = CareInputs(
        drinks_per_day=Decimal(4), milk_drinks_per_day=Decimal(2), hardness_mg_l=Decimal(280), alkalinity_mg_l=None,
        kind=kind, has_three_way_valve=True, has_grinder=True, has_filter=True, maker_overrides={"BRUSH_GRINDER": 21},
    )  # fmt: skip
    known = tasks(inputs)
    said = {words for task in known for words in (task.words, task.why)}
    said |= {span(task.every_days).then_words for task in known if task.every_days}
    said |= {task.first_words for task in dated(known, None)}

    assert len(said) > 3
    assert [words for words in said if pseudo.words_outside(retold.retold(words))] == []


def unit(kind, profile, appliance_class):
    appliance = Appliance(
        appliance_class=appliance_class, cord_length_m=Decimal("1.5"), cord_section_mm2=Decimal("0.75"),
        heating_watts=None if kind == "GRINDER" else Decimal(1400), has_surge_parts=False,
    )  # fmt: skip
    return Unit(
        kind=kind, pump="VIBRATORY", has_steam=True, volts=230, watts=1400, cord_words="", place_has_fused_plugs=True,
        profile=profile, appliance=appliance, ready_high_min=30, has_three_way_valve=True, has_grinder=True,
        has_button=True, deep=True,
    )  # fmt: skip


def said_at_the_bench(one):
    """Yield every title, answer and limit of a machine's cards."""
    for card in cards_for(one):
        for item in card.items:
            yield item.title
            yield from (answer.words for answer in item.answers)
            if item.answers:
                yield seen_limit(item)
            elif limit := limit_for(item, one):
                yield limit.words


@pytest.mark.parametrize("profile", EVERY_VERSION, ids=lambda profile: profile.code)
@pytest.mark.parametrize("kind", sorted(KINDS))
def test_no_title_answer_or_limit_of_the_bench_is_left_in_english(pseudo_language, kind, profile):
    said = {words for each in ApplianceClass for words in said_at_the_bench(unit(kind, profile, each))}

    assert len(said) > 10
    assert [words for words in sorted(said) if pseudo.words_outside(retold.retold(words))] == []
