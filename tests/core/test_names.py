"""Names are spoken across a noisy bench and never come twice."""

from itertools import combinations
from pathlib import Path

import pytest

from workshop.core import names

CORE = Path(names.__file__).parent
FIRST = (CORE / "words_first.txt").read_text(encoding="ascii").split()
SECOND = (CORE / "words_second.txt").read_text(encoding="ascii").split()
LISTS = pytest.mark.parametrize("words", [FIRST, SECOND], ids=["first", "second"])
# The Soundex figures of the US National Archives (archives.gov, "Soundex System").
GROUPS = ["BFPV", "CGJKQSXZ", "DT", "L", "MN", "R"]
FIGURES = {letter: figure for figure, letters in enumerate(GROUPS, 1) for letter in letters}


def soundex(word: str) -> str:
    letters = word.upper()
    code, before = letters[0], FIGURES.get(letters[0])
    for letter in letters[1:]:
        figure = FIGURES.get(letter)
        if figure and figure != before:
            code += str(figure)
        if letter not in "HW":
            before = figure
    return code[:4].ljust(4, "0")


def edit_distance(one: str, other: str) -> int:
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        above, row = row, [i]
        for j, against in enumerate(other, 1):
            row.append(min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (letter != against)))
    return row[-1]


def one_slip_apart(one: str, other: str) -> bool:
    return abs(len(one) - len(other)) < 2 and edit_distance(one, other) < 2


@pytest.mark.parametrize(
    ("word", "code"),
    [
        ("Robert", "R163"),
        ("Rupert", "R163"),
        ("Tymczak", "T522"),
        ("Pfister", "P236"),
        ("Ashcraft", "A261"),
        ("Lee", "L000"),
    ],
)
def test_our_soundex_agrees_with_published_codes(word, code):
    assert soundex(word) == code


@pytest.mark.parametrize(("one", "other", "steps"), [("kitten", "sitting", 3), ("flaw", "lawn", 2), ("oak", "oak", 0)])
def test_our_edit_distance_agrees_with_known_pairs(one, other, steps):
    assert edit_distance(one, other) == steps


@LISTS
def test_a_list_has_256_different_short_lower_case_words(words):
    assert len(words) == len(set(words)) == 256
    assert [word for word in words if not (3 <= len(word) <= 8 and word.isalpha() and word == word.lower())] == []


def test_no_word_is_in_both_lists():
    assert set(FIRST) & set(SECOND) == set()


@LISTS
def test_no_two_words_of_a_list_are_one_slip_apart(words):
    assert [pair for pair in combinations(words, 2) if one_slip_apart(*pair)] == []


@LISTS
def test_no_two_words_of_a_list_sound_alike(words):
    assert [pair for pair in combinations(words, 2) if soundex(pair[0]) == soundex(pair[1])] == []


def test_the_shuffle_gives_every_pair_exactly_once():
    assert len({names._shuffled(number) for number in range(65_536)}) == 65_536


def test_two_words_until_40_000_and_a_third_after():
    counts = {number: len(names.name_for(number).split()) for number in (1, 39_999, 40_000, 40_001, 105_536, 105_537)}

    assert counts == {1: 2, 39_999: 2, 40_000: 2, 40_001: 3, 105_536: 3, 105_537: 3}


def test_no_name_comes_twice_in_the_first_110_000():
    every = range(1, 110_001)

    assert len({names.name_for(number) for number in every}) == len(every)


def test_the_third_word_makes_every_pair_last_255_times():
    """The same pair comes back 65,536 numbers later, each time with another third word, never its own second."""
    same_pair = [names.name_for(40_001 + 65_536 * block).split() for block in range(255)]

    assert len({tuple(words[:2]) for words in same_pair}) == 1
    assert len({words[2] for words in same_pair} - {same_pair[0][1]}) == 255


def test_of_any_255_machines_in_a_row_no_two_share_a_word():
    """Stronger than asked: at one bench nobody ever calls "Maple" and means one of two."""
    last_heard: dict[str, int] = {}
    nearest = 65_536
    for number in range(1, 40_001):
        for word in names.name_for(number).split():
            nearest = min(nearest, number - last_heard.get(word, -65_536))
            last_heard[word] = number

    assert nearest == 255


def test_a_name_stays_the_same_for_ever():
    assert [names.name_for(number) for number in (1, 2, 3)] == ["Acacia Acre", "Gosling Park", "Sardine Croft"]


@pytest.mark.parametrize("number", [0, -1, 16_751_681])
def test_a_number_without_a_name_is_refused(number):
    with pytest.raises(ValueError, match="no name for stock number"):
        names.name_for(number)


def test_the_last_number_still_has_a_name():
    assert len(names.name_for(16_751_680).split()) == 3


def test_the_slug_is_the_name_in_an_address():
    assert names.slug_for("Maple Harbour") == "maple-harbour"
