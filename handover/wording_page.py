"""Wording, prepared for its pages: ours beside theirs, and how a block will be printed."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from handover import buyer_rights, compose_everyday, compose_safety, ours, wording
from handover.blocks import BLOCKS, Block, BlockName
from handover.brewing import Brewing
from handover.models import WordingBlock
from handover.sheet import NBSP, Run, SafetyMessage, say_short
from handover.wording import Words
from handover.words import Language
from workshop.core.models import Control, Job, ModelNotes, Shop
from workshop.core.words import ControlUse, Kind


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


def _any() -> Brewing:
    """Return a machine of which only the usual is known: what every machine's sheet says stands on the page."""
    notes = ModelNotes(kind=Kind.HEAT_EXCHANGER, has_steam=True, has_three_way_valve=True)
    return Brewing(notes, None, {ControlUse.STEAM: Control(use=ControlUse.STEAM, label="[steam]")})


def our_lines(name: BlockName, shop: Shop, language: str) -> tuple[str, ...]:
    """Return our words of a block in a language, named words in square brackets."""
    with translation.override(language):
        found: dict[BlockName, Callable[[], tuple[str, ...]]] = {
            BlockName.CALL: lambda: (ours.call(),),
            BlockName.FIRST: lambda: (ours.first(),),
            BlockName.SAFETY: lambda: tuple(f"{m.signal.word}: {m.hazard} {m.avoid}" for m in _safety()),
            BlockName.MILK: lambda: compose_everyday.milk(_any()),
            BlockName.AFTER_USE: lambda: compose_everyday.after_use(_any()),
            BlockName.NEVER: lambda: compose_everyday.never(_any()),
            BlockName.WARRANTY: lambda: (shop.warranty_words,) if shop.warranty_words else (),
        }
        return found[name]()


def _safety() -> tuple[SafetyMessage, ...]:
    return compose_safety.messages(_any().notes)


def printed(name: BlockName, words: str, shop: Shop, language: str, on: date) -> SafeString:
    """Return a block as it will be printed with these words, or with ours where there are none."""
    ours_now = our_lines(name, shop, language)
    with translation.override(language):
        own = Words({name: words} if words else {})
        lines = own.lines(name, ours_now) if not BLOCKS[name].added else (*ours_now, *own.more(name))
        shown = tuple(line.replace("[steam]", _("Steam tap")).replace("[jug]", "…") for line in lines)
        if name is BlockName.CALL:
            template, context = "_sheet_tag", _tag(shown[0], shop, on)
        else:
            template, context = _shown(name, shown, own, shop)
        return SafeString(render_to_string(f"handover/{template}.html", context))


def _shown(name: BlockName, lines: tuple[str, ...], own: Words, shop: Shop) -> tuple[str, dict[str, Any]]:
    if name is BlockName.SAFETY:
        return "_sheet_safety", {"sheet": {"safety": (*_safety(), *own.safety)}}
    if name is BlockName.WARRANTY:
        rights = buyer_rights.beside_warranty(shop.country)
        return "_sheet_warranty", {"sheet": {"warranty": (Run(f"{' '.join(lines)} {rights}".strip()),)}}
    if name is BlockName.FIRST:
        return "_buyer_first", {"first": " ".join(lines)}
    if name is BlockName.NEVER:
        return "_sheet_never", {"sheet": {"never": lines}}
    part = "milk" if name is BlockName.MILK else "after_use"
    return "_sheet_everyday", {"sheet": {part: lines}, "thirds": "thirds"}


def _tag(call: str, shop: Shop, on: date) -> dict[str, Any]:
    """Return what the tag on top of page 1 wants, of a made-up machine."""
    phone = shop.phone.replace(" ", NBSP)
    known = {"name": "Maple Harbour", "kind_words": "Heron", "serial": "0456", "workshop": {"phone": phone}}
    return {"sheet": known | {"call": call}, "issued_short": say_short(on)}


def example() -> Job | None:
    """Return a machine whose sheet can be looked at: the newest at work."""
    return Job.objects.open().select_related("machine").order_by("-pk").first()
