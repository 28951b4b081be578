"""Our questions and answers for the buyer's page: own words, each with the source of what it claims."""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.sheet import join
from workshop.core.models import ModelNotes
from workshop.core.words import Kind
from workshop.trade.coffee.sources import MILK_STOP_C, OLD_GROUNDS, RELEASE_WAIT_S
from workshop.trade.safety.cautions import STORED_DAYS
from workshop.trade.safety.sources import BLEACH, LEAD
from workshop.trade.sources import COMMON_PRACTICE, Source
from workshop.trade.water.sources import SCALES_FROM_MG_L


@dataclass(frozen=True, slots=True)
class OurAnswer:
    """One of ours: its question and answer in the active language, the machines it speaks of, its sources."""

    code: str
    position: int
    question: str | Promise
    answer: Callable[[], str]
    sources: tuple[Source, ...]
    coffee: bool = True  # not for a grinder alone
    steam: bool = False  # only where there is steam

    def fits(self, notes: ModelNotes) -> bool:
        """Say whether it speaks of machines of a model."""
        makes_coffee = notes.kind != Kind.GRINDER
        return (makes_coffee or not self.coffee) and ((notes.has_steam and makes_coffee) or not self.steam)

    @property
    def of_what(self) -> str:
        """Which machines it speaks of, for the workshop's eyes."""
        if self.steam:
            return "machines with steam"
        return "all but a grinder alone" if self.coffee else "every machine"


def _fast() -> str:
    return _(
        "Grind one step finer, and turn the grinder only while it runs. Pour the first coffee after it away: "
        "old grounds are still on their way. One change at a time."
    )


def _slow() -> str:
    return _(
        "Grind one step coarser, and turn the grinder only while it runs. Pour the first coffee after it away. "
        "Does nothing come out at all, even without coffee in? Look whether there is water in the tank, then call us."
    )


def _beside() -> str:
    return _(
        "Stop it and wait %(wait)s. Take the handle out. Wipe its rim and the ring it presses on: "
        "grounds there let water past. Lock it in firmly again. Does it still run past? Call us."
    ) % {"wait": join(RELEASE_WAIT_S.value, _("seconds"))}


def _new_seal() -> str:
    return _(
        "That is how a new seal behaves: the handle stops early at first and comes round a little as the seal beds in. "
        "When it goes well past straight ahead, or drips, the seal is worn: call us."
    )


def _hard() -> str:
    return _(
        "Look into your kettle: a white crust means hard water. From about %(hard)s on, scale is likely when water is "
        "heated. Keep to the descale dates on this page. With another water, tell us: your dates change with it."
    ) % {"hard": join(SCALES_FROM_MG_L.value, "mg/L")}


def _descaler() -> str:
    return _(
        "With a food acid made for coffee machines, as its packet says. Never together with bleach or another chlorine "
        "cleaner: they give off poisonous gas. Then run fresh water through the group, the tap and the steam pipe and "
        "pour it away. Rinse again before the first coffee."
    )


def _away() -> str:
    return _(
        "After %(days)s without use: empty the tank and fill it fresh. Heat up. Run water through every path and pour "
        "it away before you drink: germs grow in standing water."
    ) % {"days": join(STORED_DAYS.value, _("days"))}


def _burnt_milk() -> str:
    return _("It got too hot. Stop at %(heat)s: the jug is then too hot to hold.") % {
        "heat": join(MILK_STOP_C.value, "°C")
    }


OURS: dict[str, OurAnswer] = {
    one.code: one
    for one in (
        OurAnswer(
            "fast", 10, gettext_lazy("It runs out fast and tastes thin or sour."), _fast, (OLD_GROUNDS,), coffee=False
        ),
        OurAnswer("slow", 20, gettext_lazy("It only drips, or tastes bitter."), _slow, (OLD_GROUNDS,), coffee=False),
        OurAnswer("beside", 30, gettext_lazy("Water runs out beside the handle."), _beside, (RELEASE_WAIT_S.source,)),
        OurAnswer("seal", 40, gettext_lazy("The handle stops earlier than it used to."), _new_seal, (COMMON_PRACTICE,)),
        OurAnswer("hard", 50, gettext_lazy("Is my water too hard?"), _hard, (SCALES_FROM_MG_L.source,)),
        OurAnswer("descaler", 60, gettext_lazy("What do I descale with?"), _descaler, (BLEACH, LEAD)),
        OurAnswer("away", 70, gettext_lazy("We were away for a week or more."), _away, (STORED_DAYS.source,)),
        OurAnswer("milk", 80, gettext_lazy("My milk tastes burnt."), _burnt_milk, (MILK_STOP_C.source,), steam=True),
    )
}
