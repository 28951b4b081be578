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


class ConsentHow(models.TextChoices):
    """How a buyer agreed to care reminders."""

    SPOKEN = "SPOKEN", "Said to us, at the counter or by phone"
    WRITTEN = "WRITTEN", "In a message or an e-mail"
    PAPER = "PAPER", "On a paper they signed"


class ReminderState(models.TextChoices):
    """How far a care reminder has come. Queued and failed ones may still be sent, once."""

    QUEUED = "QUEUED", "waits to be sent"
    SENDING = "SENDING", "is being sent"
    SENT = "SENT", "sent"
    FAILED = "FAILED", "did not go out"
    UNKNOWN = "UNKNOWN", "may have gone out"
    DROPPED = "DROPPED", "not sent"
    TOLD = "TOLD", "told by ourselves"
