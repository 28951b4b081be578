"""Words of the desk."""

from django.db import models


class Past(models.TextChoices):
    """What a file from before this book holds."""

    STOCK = "STOCK", "Machines we have now"
    SALES = "SALES", "Machines sold before"
