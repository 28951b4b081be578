"""Parts: what is in the drawer."""

from django.apps import AppConfig


class PartsConfig(AppConfig):
    """Registers the app."""

    name = "workshop.parts"
    label = "parts"
