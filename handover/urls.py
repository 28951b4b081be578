"""Addresses of this app."""

from django.urls import URLPattern

app_name = "handover"
urlpatterns: list[URLPattern] = []
