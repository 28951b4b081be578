"""Typing that was not sent yet: no act, no record, only what its own writer may put back."""

from django.db import models

from workshop.core.models.people import User


class Draft(models.Model):
    """What one person typed into one form of one page, by field name. It goes when it is sent, dropped or old."""

    user = models.ForeignKey(User, models.CASCADE, related_name="drafts")
    page = models.CharField(max_length=500, help_text="Path and query of the page the form stands on.")
    form = models.CharField(max_length=300, help_text="Path the form goes to; #2, #3 for further forms that go there.")
    fields = models.JSONField()
    at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "page", "form"], name="core_draft_once_a_form")]

    def __str__(self) -> str:
        return f"{self.page} {self.form}"
