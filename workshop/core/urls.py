"""Addresses of the core: our workshop, model notes, typing on its way and typing that was kept."""

from django.urls import path

from workshop.core.views import door, drafts, notes, shop

app_name = "core"
urlpatterns = [
    path("drafts/", drafts.drafts, name="drafts"),
    path("kept/", door.kept_typing, name="kept_typing"),
    path("our-workshop/", shop.shop_edit, name="shop_edit"),
    path("our-workshop/instruments/add/", shop.instrument_add, name="instrument_add"),
    path("our-workshop/instruments/<int:pk>/", shop.instrument_change, name="instrument_change"),
    path("our-workshop/instruments/<int:pk>/retire/", shop.instrument_retire, name="instrument_retire"),
    path("our-workshop/people/add/", shop.user_add, name="user_add"),
    path("models/", notes.model_notes, name="model_notes"),
    path("models/add/", notes.model_notes_add, name="model_notes_add"),
    path("models/<int:pk>/", notes.model_notes_edit, name="model_notes_edit"),
]
