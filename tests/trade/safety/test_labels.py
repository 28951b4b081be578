"""The label of untested or faulty goods follows the place, and each names where its rule was seen."""

import pytest

from workshop.trade.safety import labels
from workshop.trade.sources import Seen


@pytest.mark.parametrize(
    ("place", "label"),
    [
        ("AU-VIC", labels.VIC),
        ("au-vic ", labels.VIC),
        ("AU-QLD", labels.QLD),
        ("AU-NSW", labels.AU),
        ("AU", labels.AU),
        ("NZ", labels.NZ),
        ("DE", labels.EU),
        ("IE", labels.EU),
        ("AT", labels.EU),
        ("GB", labels.UK),
        ("GB-SCT", labels.UK),
        ("US", labels.ELSEWHERE),
        ("CA-ON", labels.ELSEWHERE),
        ("", labels.ELSEWHERE),
    ],
)
def test_the_label_follows_the_place(place, label):
    assert labels.label_for(place) is label


@pytest.mark.parametrize("place", ["AU-VIC", "AU-QLD", "AU", "NZ", "FR", "GB", "US"])
def test_every_label_says_that_it_was_not_tested(place):
    assert any("not tested" in line for line in labels.label_for(place).lines)


@pytest.mark.parametrize("label", [labels.VIC, labels.NZ, labels.EU, labels.UK, labels.ELSEWHERE])
def test_what_was_tested_is_not_denied_and_the_rest_of_the_label_stays(label):
    for whole, words in ((True, "was tested; it is sold"), (False, "in part only")):
        tested = label.of_tested(to_the_end=whole)
        assert words in tested.lines[0]
        assert (tested.title, tested.lines[1:]) == (label.title, label.lines[1:])


def test_victoria_calls_it_second_hand_and_new_zealand_has_it_disabled():
    assert labels.VIC.title == "SECOND-HAND"
    assert [label.place for label in (labels.VIC, labels.NZ, labels.EU, labels.UK) if label.must_disable] == ["NZ"]


def test_a_place_without_a_rule_says_so_instead_of_making_one_up():
    assert labels.ELSEWHERE.source.seen is Seen.HOUSE
    assert "No rule was read" in labels.ELSEWHERE.rule
    assert "no label is prescribed" in labels.UK.rule
