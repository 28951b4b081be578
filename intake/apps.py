"""Intake: buy well, record it right, look it over once."""

from django.apps import AppConfig


class IntakeConfig(AppConfig):
    """Registers the app."""

    name = "intake"
    label = "intake"
