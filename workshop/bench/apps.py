"""The bench: clean, descale, mend, reseal, prove."""

from django.apps import AppConfig


class BenchConfig(AppConfig):
    """Registers the app."""

    name = "workshop.bench"
    label = "bench"
