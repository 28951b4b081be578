"""What a workshop words itself: blocks of the sheet and of the buyer's page, and answers on the buyer's page."""

from django.db import models
from django.db.models import Q

from handover.blocks import BlockName
from handover.words import Language
from workshop.core import fields
from workshop.core.constraints import one_of
from workshop.core.models import ModelNotes
from workshop.core.words import Kind


class WordingBlock(models.Model):
    """A block in a workshop's own words, in one language; without words it is ours again."""

    block = fields.word(BlockName)
    language = fields.word(Language)
    words = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("block", BlockName),
            one_of("language", Language),
            models.UniqueConstraint(fields=["block", "language"], name="handover_wordingblock_once_a_language"),
        ]

    def __str__(self) -> str:
        return f"{self.get_block_display()}, {self.get_language_display()}"


class HelpAnswer(models.Model):
    """A question and its answer on the buyer's page: a workshop's own, or its wording of one of ours (`ours`).

    One of ours without words is as we word it; retired, it is not shown in this language. An own one speaks of every
    machine, of a kind, or of one model.
    """

    ours = models.CharField(max_length=24, blank=True, help_text="The code of ours that it words anew.")
    language = fields.word(Language)
    question = models.CharField(max_length=120, blank=True)
    answer = models.TextField(blank=True)
    kind = fields.word(Kind, blank=True)
    notes = models.ForeignKey(ModelNotes, models.PROTECT, null=True, blank=True, related_name="help_answers")
    position = models.PositiveSmallIntegerField()
    retired = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("language", Language),
            one_of("kind", Kind, blank=True),
            models.UniqueConstraint(
                fields=["ours", "language"], condition=~Q(ours=""), name="handover_helpanswer_ours_once_a_language"
            ),
            models.CheckConstraint(
                name="handover_helpanswer_own_has_words",
                condition=~Q(ours="") | ~Q(question="") & ~Q(answer=""),
                violation_error_message="An answer of your own has a question and an answer.",
            ),
            models.CheckConstraint(
                name="handover_helpanswer_kind_or_model",
                condition=Q(kind="") | Q(notes__isnull=True),
                violation_error_message="It speaks of a kind or of a model, not of both.",
            ),
        ]

    def __str__(self) -> str:
        return self.question or self.ours
