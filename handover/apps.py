"""Hand over: what was told, the sheet, the care calendar."""

from django.apps import AppConfig


class HandoverConfig(AppConfig):
    """Registers the app."""

    name = "handover"
    label = "handover"
