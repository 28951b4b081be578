"""People: those who sign in, and those who sell and buy."""

from django.contrib.auth.models import AbstractUser
from django.db import models

from workshop.core import fields, words
from workshop.core.constraints import one_of, paired


class User(AbstractUser):
    """A person who signs in."""

    role = fields.word(words.Role, default=words.Role.TECHNICIAN)
    bench_pin = models.CharField(max_length=128, blank=True, help_text="Hashed; for a shared tablet.")

    class Meta:
        constraints = [one_of("role", words.Role)]

    @property
    def is_owner(self) -> bool:
        """Say whether this person may see prices and change the workshop."""
        return bool(self.role == words.Role.OWNER)

    def __str__(self) -> str:
        return self.first_name or self.username


class Person(models.Model):
    """A seller, buyer or supplier. The journal names which fields changed, never what they held."""

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.CharField(max_length=300, blank=True)
    note = models.TextField(blank=True)
    erased_at = models.DateTimeField(null=True, blank=True, help_text="On request: the name is a number since.")
    erased_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [paired("erased")]

    def __str__(self) -> str:
        return self.name


class LockedIdentity(models.Model):
    """What the book must still say of somebody who was erased: for the owner's eyes, until its day, then deleted."""

    person = models.OneToOneField(Person, models.PROTECT, related_name="locked")
    fields = models.JSONField(help_text="Name and address, and what the place's dealer law asks for.")
    typed_until_on = models.DateField(null=True, blank=True, help_text="Where no rule was read: as the owner was told.")

    class Meta:
        verbose_name_plural = "locked identities"

    def __str__(self) -> str:
        return f"The book's name of {self.person}"
