"""Addresses of this app."""

from django.urls import URLPattern

app_name = "pricing"
urlpatterns: list[URLPattern] = []
