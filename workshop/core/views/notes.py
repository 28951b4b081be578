"""Model notes: list, add, edit."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from workshop.core import http, services
from workshop.core.forms import ActForm
from workshop.core.forms.notes import ModelNotesForm
from workshop.core.models import ModelNotes
from workshop.core.words import CareWord
from workshop.trade.care.spans import span

SECTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "Water and heat",
        (
            "brew_boiler_l",
            "steam_boiler_l",
            "boiler_metal",
            "pump",
            "has_three_way_valve",
            "has_steam",
            "has_hot_water",
            "has_filter",
            "has_gauge",
            "gauge_from",
            "gauge_to",
        ),
    ),
    (
        "Mains",
        (
            "volts",
            "watts",
            "boiler_watts",
            "pump_watts",
            "appliance_class",
            "cord_length_m",
            "cord_section_mm2",
            "fuse_a",
            "has_surge_parts",
            "mass_kg",
            "safety_text",
        ),
    ),
    (
        "Grinder",
        ("has_grinder", "grind_scale", "grind_low", "grind_high", "grind_step", "grind_finer", "dose_scale"),
    ),
    (
        "Coffee",
        (
            "basket_mm",
            "baskets",
            "dose_g",
            "yield_g",
            "time_low_s",
            "time_high_s",
            "tamp_cue",
            "timed_button",
            "teach_button",
            "blank_shots",
            "back_to_coffee",
        ),
    ),
    ("Ready", ("warm_up_low_min", "warm_up_high_min", "ready_sign")),
    ("Controls, seals and loose parts", ("controls_text", "seals_text", "loose_parts")),
    (
        "As usual",
        (
            "descale_agent",
            "descale_strength_percent",
            "descale_litres",
            "descale_minutes",
            "usual_minutes",
            "care_text",
            "note",
        ),
    ),
)


def model_notes(request: HttpRequest) -> HttpResponse:
    """List the models this workshop has notes on."""
    rows = ModelNotes.objects.order_by("maker", "model", "pk")
    return render(request, "core/model_notes.html", {"rows": rows, "nav": "notes"})


def model_notes_add(request: HttpRequest) -> HttpResponse:
    """Add notes on a model."""
    form = ModelNotesForm(request.POST or None, initial={"has_steam": True, "has_hot_water": True, "pump": "VIBRATORY"})
    return _save(request, form, None)


def model_notes_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change notes on a model."""
    notes = get_object_or_404(ModelNotes, pk=pk)
    return _save(request, ModelNotesForm(request.POST or None, initial=_initial(notes)), notes)


def _save(request: HttpRequest, form: ModelNotesForm, notes: ModelNotes | None) -> HttpResponse:
    def page(form: ActForm, status: int) -> HttpResponse:
        sections = [(title, [form[name] for name in names]) for title, names in SECTIONS]
        return render(
            request,
            "core/model_notes_form.html",
            {"form": form, "sections": sections, "notes": notes, "nav": "notes"},
            status=status,
        )

    if request.method != "POST":
        return page(form, 200)
    return http.answer(
        request,
        form,
        do=lambda act: services.save_notes(act, notes, form.seen_version, form.values),
        to=reverse("core:model_notes"),
        page=page,
    )


def _initial(notes: ModelNotes) -> dict[str, Any]:
    lines = {
        "controls_text": [f"{c.get_use_display()} | {c.label} | {c.place}" for c in notes.controls.order_by("pk")],
        "seals_text": [f"{s.name} | {'wears' if s.wears else 'inside'} | {s.size}" for s in notes.seals.order_by("pk")],
        "safety_text": [f"{p.name} | {p.rating}" for p in notes.safety_parts.order_by("pk")],
        "care_text": [
            f"{CareWord(code).label} | {span(days).then_words}" for code, days in sorted(notes.care_overrides.items())
        ],
    }
    columns = {name: getattr(notes, name) for name in ModelNotesForm.base_fields if hasattr(notes, name)}
    return {**columns, **{name: "\n".join(rows) for name, rows in lines.items()}, "pk": notes.pk}
