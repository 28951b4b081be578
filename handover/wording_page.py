"""Wording, prepared for its pages: ours beside theirs, and how a block will be printed."""

from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.safestring import SafeString

from handover import compose, ours, wording
from handover.blocks import BLOCKS, Block, BlockName
from handover.models import WordingBlock
from handover.sheet import NBSP, Run
from handover.words import Language
from workshop.core.models import Job, Shop


@dataclass(frozen=True, slots=True)
class BlockRow:
    """One block in one language on the page Wording."""

    block: Block
    ours: tuple[str, ...]
    row: WordingBlock | None

    @property
    def own(self) -> tuple[str, ...]:
        """The workshop's own lines, as typed; none while the block is ours."""
        return wording.lines_of(self.row.words) if self.row else ()


def rows(shop: Shop, language: str) -> list[BlockRow]:
    """Return every block in one language, in the order of the paper."""
    known = {row.block: row for row in WordingBlock.objects.filter(language=language).exclude(words="")}
    return [BlockRow(block, our_lines(block.name, shop, language), known.get(name)) for name, block in BLOCKS.items()]


def worded() -> list[tuple[str, str, int]]:
    """Return each language with its name and how many blocks are worded in it."""
    counted = dict.fromkeys(Language.values, 0)
    for language in WordingBlock.objects.exclude(words="").values_list("language", flat=True):
        counted[language] += 1
    return [(code, name, counted[code]) for code, name in Language.choices]


def our_lines(name: BlockName, shop: Shop, language: str) -> tuple[str, ...]:
    """Return our words of a block in a language, named words in square brackets."""
    with translation.override(language):
        if name is BlockName.MILK:
            return ours.milk("[steam]")
        if name is BlockName.AFTER_USE:
            return ours.after_use()
        if name is BlockName.CALL:
            return (ours.call(),)
        if name is BlockName.FIRST:
            return (ours.first(),)
        if name is BlockName.WARRANTY:
            return (shop.warranty_words,) if shop.warranty_words else ()
        return tuple(f"{m.signal}: {m.hazard} {m.avoid}" for m in compose.SAFETY)


def printed(name: BlockName, words: str, shop: Shop, language: str) -> SafeString:
    """Return a block as it will be printed with these words, or with ours where there are none."""
    with translation.override(language):
        lines = wording.lines_of(words or "\n".join(our_lines(name, shop, language)), steam=ours.steam_tap())
        template, shown = _shown(name, lines, words, shop)
        return SafeString(render_to_string(f"handover/{template}.html", shown))


def _shown(name: BlockName, lines: tuple[str, ...], words: str, shop: Shop) -> tuple[str, dict[str, Any]]:
    if name is BlockName.SAFETY:
        return "_sheet_safety", {"sheet": {"safety": (*compose.SAFETY, *wording.safety_of(words))}}
    if name is BlockName.WARRANTY:
        return "_sheet_warranty", {"sheet": {"warranty": (Run(" ".join(lines)),)}}
    if name is BlockName.CALL:
        return "_wording_call", {"words": lines[0], "phone": shop.phone.replace(" ", NBSP)}
    if name is BlockName.FIRST:
        return "_buyer_first", {"first": " ".join(lines)}
    part = "milk" if name is BlockName.MILK else "after_use"
    return "_sheet_everyday", {"sheet": {part: lines}, "thirds": "thirds"}


def example() -> Job | None:
    """Return a machine whose sheet can be looked at: the newest at work."""
    return Job.objects.open().select_related("machine").order_by("-pk").first()
