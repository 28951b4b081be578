"""The blocks of words that a workshop may word itself: what each is, where it is printed, how much fits there."""

from dataclasses import dataclass, field

from django.db import models


class BlockName(models.TextChoices):
    """The names of the blocks."""

    CALL = "CALL", "Who to call"
    FIRST = "FIRST", "First words of the buyer's page"
    SAFETY = "SAFETY", "Stay safe"
    MILK = "MILK", "Milk"
    AFTER_USE = "AFTER_USE", "After each use"
    NEVER = "NEVER", "What not to do"
    WARRANTY = "WARRANTY", "Warranty"


@dataclass(frozen=True, slots=True)
class Block:
    """One block. `added`: lines of a workshop's own stand under ours, which always stay.

    `named`: what a word in square brackets stands for; each machine puts its own in its place.
    """

    name: BlockName
    where: str
    most_lines: int
    line_signs: int
    added: bool = False
    named: dict[str, str] = field(default_factory=dict)

    @property
    def most_signs(self) -> int:
        """How many characters all its lines have at most, line ends included."""
        return self.most_lines * (self.line_signs + 1)


# How much fits is read off the paper: one line of a column at 12 pt, and what the page has room for. House policy.
BLOCKS: dict[str, Block] = {
    block.name.value: block
    for block in (
        Block(BlockName.CALL, "Over your phone number, on the sheet and on the buyer's page.", 1, 22),
        Block(BlockName.FIRST, "On top of the buyer's page, in large print.", 3, 200),
        Block(BlockName.SAFETY, "Page 1 and the buyer's page, under our safety words.", 2, 120, added=True),
        Block(
            BlockName.MILK,
            "Page 1 and the buyer's page, where a machine makes steam.",
            6,
            60,
            named={"steam": "what the machine calls its steam tap", "jug": "how long a jug took, if it was measured"},
        ),
        Block(BlockName.AFTER_USE, "Page 1 and the buyer's page, after what this machine does after milk.", 6, 60),
        Block(BlockName.NEVER, "Page 1 and the buyer's page, after our own lines.", 3, 90, added=True),
        Block(BlockName.WARRANTY, "Page 2 and the buyer's page. The buyer's legal rights always follow.", 6, 160),
    )
}
