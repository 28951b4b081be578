"""Model notes: maker, model and kind are enough; what cannot be right gets a sentence and stores nothing."""

import pytest
from django.urls import reverse

from demo_fixtures import house
from tests.factories import ModelNotesFactory
from workshop.core.models import ModelNotes
from workshop.core.words import CareWord
from workshop.trade.care.intervals import TASK_CODES

LEAST = {"maker": "Tarnside", "model": "Wren", "kind": "THERMOBLOCK", "pump": "VIBRATORY", "appliance_class": "class_i"}


def add(client, **more):
    return client.post(reverse("core:model_notes_add"), {**LEAST, **more})


def test_maker_model_and_kind_are_enough(client_in):
    assert add(client_in).status_code == 302

    notes = ModelNotes.objects.get()
    assert (str(notes), notes.kind, notes.seals.exists()) == ("Tarnside Wren", "THERMOBLOCK", True)


def test_all_of_a_models_notes_come_back_as_they_were_typed(client_in):
    typed = {name: "on" if value is True else value for name, value in house.WREN.items() if value is not False}
    typed["timed_button"] = "true"
    assert add(client_in, **typed).status_code == 302

    notes = ModelNotes.objects.get()
    page = client_in.get(reverse("core:model_notes_edit", args=[notes.pk])).content.decode()
    for words in ("Coffee | two cups button | top", "Group seal | wears | 8.0 mm", "Relief valve | 12 bar"):
        assert words in page


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("gauge_from", "banana", "Say it as on a clock face, like 10 o&#x27;clock or half past two."),
        ("controls_text", "lever | big one | left", "“lever” is not a use."),
        ("time_high_s", "20", "This ends before it begins at 24. Swap the two."),
        ("grind_scale", "steps", "Say which way is finer: the advice depends on it."),
        ("cord_length_m", "60", "This is over 50. Check the figure."),
        ("maker", "", "Type an answer here."),
        ("care_text", "Polish it | 3 months", "“Polish it” is not a care task."),
        ("care_text", "Descale | now and then", "“now and then” is no repeat. Say it like: 3 months"),
        ("care_text", "Descale | 0 days", "“0 days” is not between one day and ten years."),
    ],
)
def test_what_cannot_be_right_is_said_beside_its_box(client_in, field, typed, sentence):
    refused = add(client_in, **{"time_low_s": "24", field: typed})

    assert refused.status_code == 422
    assert sentence in refused.content.decode()
    assert not ModelNotes.objects.exists()


def test_a_second_page_on_the_same_model_leads_to_the_first(client_in):
    ModelNotesFactory(maker="Tarnside", model="Wren", kind="THERMOBLOCK")

    refused = add(client_in)

    assert refused.status_code == 422
    assert "There are notes on this model already. Open those." in refused.content.decode()


def test_notes_changed_by_somebody_else_are_shown_beside_what_was_typed(client_in):
    notes = ModelNotesFactory(maker="Tarnside", model="Wren", kind="THERMOBLOCK", version=3)

    stale = client_in.post(
        reverse("core:model_notes_edit", args=[notes.pk]), {**LEAST, "version": 2, "ready_sign": "all lights lit"}
    )

    assert stale.status_code == 409
    assert "all lights lit" in stale.content.decode()
    notes.refresh_from_db()
    assert notes.ready_sign == ""


def test_the_makers_own_intervals_come_back_as_they_were_said_and_rule_the_calendar(client_in, shop):
    typed = "Descale | every 3 months\nChange the group seal | 2 years"
    assert add(client_in, care_text=typed).status_code == 302

    notes = ModelNotes.objects.get()
    assert notes.care_overrides == {"CHANGE_GASKET": 730, "DESCALE": 91}
    page = client_in.get(reverse("core:model_notes_edit", args=[notes.pk])).content.decode()
    assert "Change the group seal | every 2 years\nDescale | every 3 months" in page

    emptied = client_in.post(
        reverse("core:model_notes_edit", args=[notes.pk]), {**LEAST, "version": notes.version, "care_text": ""}
    )
    assert emptied.status_code == 302
    notes.refresh_from_db()
    assert notes.care_overrides == {}


def test_the_care_tasks_are_those_of_the_trade():
    assert set(CareWord.values) == TASK_CODES
