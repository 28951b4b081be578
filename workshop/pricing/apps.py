"""Money: cost, price, payments."""

from django.apps import AppConfig


class PricingConfig(AppConfig):
    """Registers the app."""

    name = "workshop.pricing"
    label = "pricing"
