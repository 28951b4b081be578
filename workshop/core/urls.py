"""Addresses of the core: typing that was kept. The workshop's own pages are served by the desk."""

from django.urls import path

from workshop.core import views

app_name = "core"
urlpatterns = [path("kept/", views.kept_typing, name="kept_typing")]
