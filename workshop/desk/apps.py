"""The desk: This morning, the Machine page, our workshop."""

from django.apps import AppConfig


class DeskConfig(AppConfig):
    """Registers the app."""

    name = "workshop.desk"
    label = "desk"
