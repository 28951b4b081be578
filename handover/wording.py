"""A workshop's own words for the named blocks: reading them for a sheet or a page, setting them, and back to ours."""

import re
from dataclasses import dataclass

from django.db import IntegrityError

from handover.blocks import BLOCKS, BlockName
from handover.models import WordingBlock
from handover.sheet import SafetyMessage, Signal
from workshop.core import acts
from workshop.core.acts import Act, Refused, Stale
from workshop.core.models import JournalEntry
from workshop.core.undo import subject_pk
from workshop.core.words import Area

_NAMED = re.compile(r"\[([^\[\]]*)\]")
SAFETY_CELLS = 3


@dataclass(frozen=True, slots=True)
class Words:
    """A workshop's own words in one language, by the block's name; a block it left alone is ours."""

    own: dict[str, str]

    def lines(self, block: BlockName, ours: tuple[str, ...], **named: str) -> tuple[str, ...]:
        """Return the lines to print: theirs, with `named` in the place of words in square brackets, else ours."""
        return lines_of(self.own[block], **named) if block in self.own else ours

    def more(self, block: BlockName) -> tuple[str, ...]:
        """Return the lines that stand after ours."""
        return lines_of(self.own.get(block, ""))

    def text(self, block: BlockName, ours: str) -> str:
        """Return the words to print as one text."""
        return " ".join(lines_of(self.own[block])) if block in self.own else ours

    @property
    def safety(self) -> tuple[SafetyMessage, ...]:
        """Return the safety messages a workshop adds; ours stand above them and are not to be had without."""
        return safety_of(self.own.get(BlockName.SAFETY, ""))


OURS = Words({})


def of(language: str) -> Words:
    """Return what a workshop words itself in a language: one query."""
    rows = WordingBlock.objects.filter(language=language).exclude(words="")
    return Words(dict(rows.values_list("block", "words")))


def lines_of(words: str, **named: str) -> tuple[str, ...]:
    """Return the lines of a block's words, each named word in square brackets replaced.

    A line is left out where a machine has nothing to put in the place of its named word.
    """
    lines = [line.strip() for line in words.splitlines()]
    kept = [line for line in lines if line and all(named.get(name, name) for name in _NAMED.findall(line))]
    return tuple(_NAMED.sub(lambda found: named.get(found[1], found[0]), line) for line in kept)


def safety_of(words: str) -> tuple[SafetyMessage, ...]:
    """Return the added safety messages, one a line: signal word | what can happen | how to avoid it."""
    cells = [[cell.strip() for cell in line.split("|")] for line in lines_of(words)]
    return tuple(SafetyMessage(Signal(signal.upper()), hazard, avoid) for signal, hazard, avoid in cells)


def faults(block: BlockName, words: str) -> list[str]:
    """Return what is wrong with words for a block, in sentences; nothing when they can be printed."""
    rule, lines = BLOCKS[block], lines_of(words)
    found = []
    if len(lines) > rule.most_lines:
        found.append(f"There is room for {rule.most_lines} lines. You have {len(lines)}.")
    found += [
        f"“{line[:30]}…” has {len(line)} characters. A line has room for {rule.line_signs}."
        for line in lines
        if len(line) > rule.line_signs
    ]
    strange = sorted({name for name in _NAMED.findall(words) if name not in rule.named})
    found += [f"Nothing is called [{name}] here. Take the square brackets away." for name in strange]
    return found + (_safety_faults(lines) if rule.name is BlockName.SAFETY else [])


def _safety_faults(lines: tuple[str, ...]) -> list[str]:
    known = [signal.value for signal in Signal]
    found = []
    for line in lines:
        cells = [cell.strip() for cell in line.split("|")]
        if len(cells) != SAFETY_CELLS or not all(cells):
            found.append(f"“{line[:30]}” wants three parts: a signal word | what can happen | how to avoid it.")
        elif cells[0].upper() not in known:
            found.append(f"“{cells[0][:30]}” is no signal word. Begin the line with {', '.join(known)}.")
    return found


def change(act: Act, block: BlockName, language: str, version: int, words: str) -> JournalEntry:
    """Set a workshop's own words for a block in one language; sheets issued from now on carry them.

    `version` is the row's, 0 where none was seen. :raises Stale: when somebody else worded it meanwhile.
    :raises Refused: when the words cannot be printed
    """
    with acts.once(act):
        if not lines_of(words):
            raise Refused("Type your words, or go back to ours.", field="words")
        if wrong := faults(block, words):
            raise Refused(*wrong, field="words")
        row, before, after = _set(block, language, version, words)
        return acts.write(act, "word_block", f"Worded: {row}", row, area=Area.SHOP, before=before, after=after)


def back_to_ours(act: Act, row: WordingBlock) -> JournalEntry:
    """Let a block be ours again. :raises Refused: when it is."""
    with acts.once(act):
        if not row.words:
            raise Refused("These are our words already.")
        before, after = acts.change(row, row.version, {"words": ""})
        words = f"Back to our words: {row}"
        return acts.write(act, "back_to_ours", words, row, area=Area.SHOP, before=before, after=after)


def put_back(act: Act, entry: JournalEntry) -> JournalEntry:
    """Undo a wording: what was printed before is printed again. :raises Refused: when it was worded since."""
    with acts.once(act):
        row = WordingBlock.objects.get(pk=subject_pk(entry))
        if row.words != entry.after.get("words"):
            raise Refused("It was worded again since. Open it and type what is to be printed.")
        before, after = acts.change(row, row.version, {"words": entry.before.get("words", "")})
        return acts.write(act, "put_wording_back", f"As before: {row}", row, area=Area.SHOP, before=before, after=after)


def _set(
    block: BlockName, language: str, version: int, words: str
) -> tuple[WordingBlock, dict[str, str], dict[str, str]]:
    row = WordingBlock.objects.filter(block=block, language=language).first()
    if row is not None:
        before, after = acts.change(row, version, {"words": words})
        return row, before, after
    try:
        row = WordingBlock.objects.create(block=block, language=language, words=words)
    except IntegrityError as race:
        raise Stale({"These words": "were set by somebody else meanwhile. Open the page again."}) from race
    return row, {"words": ""}, {"words": words}
