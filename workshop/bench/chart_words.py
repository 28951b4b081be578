"""The words of a shot chart: for those who do not see it, and beside its marks."""

from decimal import Decimal
from typing import TYPE_CHECKING

from django.utils import formats
from django.utils.translation import gettext as _

if TYPE_CHECKING:
    from workshop.bench.chart import ShotChart


def describe(chart: "ShotChart") -> str:
    """Return the chart in words, for those who do not see it: every shot, the target, the setting that is yours."""
    head = {"seconds": chart.time_words.capitalize(), "setting": chart.setting_words}
    window = {
        "window": chart.window_words.capitalize(),
        "low": plain(chart.window_low_s),
        "high": plain(chart.window_high_s),
    }
    said = [
        _("%(seconds)s against %(setting)s: %(shots)s.") % (head | {"shots": ", ".join(_shots_words(chart))}),
        _("%(window)s: %(low)s to %(high)s s.") % window,
    ]
    if chart.chosen:
        said.append(_("Yours: %(setting)s.") % {"setting": label(chart, chart.chosen.setting)})
    if chart.to_try:
        setting = {"setting": label(chart, chart.to_try.setting)}
        pulled = any(point.setting == chart.to_try.setting for point in chart.points)
        never = _("Next to try: %(setting)s, never pulled on this machine.")
        said.append((_("Next to try: %(setting)s.") if pulled else never) % setting)
    return " ".join(said)


def _shots_words(chart: "ShotChart") -> list[str]:
    said = []
    for point in chart.points:
        gave = {"setting": label(chart, point.setting), "time": plain(point.time_s), "word": point.word}
        spoilt = _("%(setting)s gave %(time)s s (%(word)s)")
        said.append((spoilt if point.spoilt else _("%(setting)s gave %(time)s s")) % gave)
    return said


def label(chart: "ShotChart", setting: Decimal) -> str:
    """Return a setting in the words of its scale."""
    return next((label.words for label in chart.labels if label.setting == setting), plain(setting))


def plain(value: Decimal) -> str:
    """Return a Decimal as people write it: 18 not 18.00, 17.5 not 17.50; 17,5 where a comma is the custom."""
    text = format(value, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace(".", str(formats.get_format("DECIMAL_SEPARATOR")))
