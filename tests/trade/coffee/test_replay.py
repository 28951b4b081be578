"""A small replay of the benchmark's population, with its seed and generous margins."""

from tests.benchmarks import dial_in as replay


def test_the_advice_lands_sooner_than_the_simple_rules_a_person_would_use() -> None:
    units = replay.World().units(300)
    ours = replay.within(units, replay.ours(replay.taught(replay.World())))
    plain = [replay.within(units, rule) for rule in (replay.one_step, replay.halving(2), replay.two_points(1))]
    assert ours[1] > 74
    assert ours[2] > 93
    assert ours[1] > max(shares[1] for shares in plain) + 2
    assert ours[2] > max(shares[2] for shares in plain) + 2


def test_nine_in_ten_bands_hold_nine_in_ten_published_shots() -> None:
    inside, told = replay.held_out(0.9)
    assert 0.85 <= inside / told <= 0.95
