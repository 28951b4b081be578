"""Every figure of the coffee room rests on a source, and every source of the room is used."""

from workshop.trade.coffee import heat, sources
from workshop.trade.sources import Figure, Source


def test_each_source_has_its_own_code_in_the_coffee_range() -> None:
    codes = [s.code for s in vars(sources).values() if isinstance(s, Source) and s.code.startswith("C-")]
    assert codes == [f"C-{number:02d}" for number in range(1, len(codes) + 1)]


def test_each_source_carries_a_figure_or_a_formula() -> None:
    carried = {f.source.code for f in vars(sources).values() if isinstance(f, Figure)}
    named = {s.code for s in vars(sources).values() if isinstance(s, Source) and s.code.startswith("C-")}
    # C-04 and C-11 are formulas without a number: the weighed-cup yield, and Ohm's and Joule's laws
    assert named - carried == {"C-04", "C-11"}


def test_the_saturation_line_has_all_ten_coefficients() -> None:
    assert len(heat.SATURATION) == 10
