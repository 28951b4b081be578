"""Addresses of the desk: the only un-namespaced names lower floors may reverse upward."""

from django.urls import path

from workshop.bench.views.as_found import as_found
from workshop.bench.views.limits import limits
from workshop.desk.views import card_lists, learn, lists, machine, past, people, places

urlpatterns = [
    path("", lists.home, name="home"),
    path("bench/", lists.bench, name="bench"),
    path("for-sale/", lists.for_sale, name="for_sale"),
    path("owed/", lists.owed, name="owed"),
    path("find/", lists.find, name="find"),
    path("m/<slug:name>/", places.scanned, name="scanned"),
    path("p/<int:pk>/", places.place_scanned, name="place_scanned"),
    path("our-workshop/limits/", limits, name="limits"),
    path("places/", places.places, name="places"),
    path("places/add/", places.place_add, name="place_add"),
    path("places/<int:pk>/", places.place, name="place"),
    path("places/<int:pk>/retire/", places.place_retire, name="place_retire"),
    path("places/<int:pk>/use-again/", places.place_use, name="place_use"),
    path("people/", people.people, name="people"),
    path("people/forget-due/", people.people_forget_due, name="people_forget_due"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/all-we-hold.json", people.person_export, name="person_export"),
    path("people/<int:pk>/erase/", people.person_erase, name="person_erase"),
    path("record/", lists.record, name="record"),
    path("record/<int:pk>/undo/", machine.undo, name="undo"),
    path("card-lists/", card_lists.card_lists, name="card_lists"),
    path("card-lists/<slug:item>/remove/", card_lists.item_remove, name="item_remove"),
    path("card-lists/<slug:item>/ask-again/", card_lists.item_ask_again, name="item_ask_again"),
    path("past/", past.past, name="past"),
    path("past/templates/<slug:kind>/<slug:form>/", past.past_template, name="past_template"),
    path("past/<int:pk>/columns/", past.past_columns, name="past_columns"),
    path("past/<int:pk>/", past.past_check, name="past_check"),
    path("past/<int:pk>/bring/", past.past_bring, name="past_bring"),
    path("machines/<slug:name>/", machine.machine, name="machine"),
    path("machines/<slug:name>/record/", machine.machine_record, name="machine_record"),
    path("machines/<slug:name>/as-found/", as_found, name="as_found"),
    path("machines/<slug:name>/facts/", machine.machine_edit, name="machine_edit"),
    path("machines/<slug:name>/move/", machine.machine_move, name="machine_move"),
    path("machines/<slug:name>/learn/", learn.learn, name="learn"),
    path("machines/<slug:name>/waits/begin/", machine.wait_begin, name="wait_begin"),
    path("machines/<slug:name>/waits/<int:pk>/end/", machine.wait_end, name="wait_end"),
]
