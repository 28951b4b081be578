"""Addresses of this app."""

from django.urls import URLPattern

app_name = "bench"
urlpatterns: list[URLPattern] = []
