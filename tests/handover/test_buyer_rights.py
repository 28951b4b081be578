"""The law's rights beside the warranty: the figures of the place, and the same words whatever the warranty says."""

import pytest

from handover import buyer_rights


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("GB", ["30 days to reject", "within 6 months"]),  # L-20
        ("DE", ["for 2 years", "at least 1", "within 12 months"]),  # L-21
        ("AU-NSW", ["Australian Consumer Law"]),
        ("NZ", ["Consumer Guarantees Act"]),
        ("US", ["law of your state"]),
        ("JP", []),
    ],
)
def test_the_sentence_is_the_places_and_always_begins_with_the_rights(place, says):
    sentence = buyer_rights.beside_warranty(place)

    assert sentence.startswith("Your legal rights stay as they are")
    assert [words for words in says if words not in sentence] == []
    assert "%" not in sentence


def test_no_figure_stands_where_none_was_read():
    assert not any(sign.isdigit() for sign in buyer_rights.beside_warranty("JP"))


@pytest.mark.parametrize(("place", "apart"), [("DE", True), ("IE", True), ("GB", False), ("AU", False)])
def test_in_the_union_a_known_defect_is_signed_for_as_agreed_separately(place, apart):
    assert ("apart from all else" in buyer_rights.defects_signature(place)) is apart
