"""Words of what comes after handing over: contact, consent, reminders, coming back."""

from django.db import models


class ContactHow(models.TextChoices):
    """How somebody reached the workshop, or the workshop them."""

    CALL = "CALL", "A call"
    MESSAGE = "MESSAGE", "A message"
    EMAIL = "EMAIL", "An e-mail"
    VISIT = "VISIT", "A visit"


class ContactWith(models.TextChoices):
    """Who it was. Names stay with the reservation and the purchase."""

    BUYER = "BUYER", "The buyer"
    ASKER = "ASKER", "Somebody who may buy it"
    SELLER = "SELLER", "Who sold it to us"
    OTHER = "OTHER", "Somebody else"
