"""Addresses of the drawer."""

from django.urls import path

from workshop.parts import views

app_name = "parts"
urlpatterns = [
    path("parts/", views.parts, name="parts"),
    path("parts/add/", views.part_add, name="part_add"),
    path("parts/<int:pk>/receive/", views.part_receive, name="part_receive"),
]
