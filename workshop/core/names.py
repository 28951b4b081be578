"""A machine's name: two plain words, drawn from its stock number and unique for ever."""

from functools import cache
from pathlib import Path

WORDS = 256
PAIRS = WORDS * WORDS
TWO_WORDS_UNTIL = 40_000  # a third word long before the pairs run out
LAST_NUMBER = TWO_WORDS_UNTIL + PAIRS * (WORDS - 1)
FIRST_STEP, SECOND_STEP = 99, 157  # odd, so each walks through its whole list before a word comes again
THIRD_STEP = 41


def name_for(stock_number: int) -> str:
    """
    Return the name of the machine with this running stock number, like "Maple Harbour".

    The same number always gives the same name and no two numbers share one. Of any 255 in a row no two share a word.

    :raises ValueError: for a number below 1 or beyond the last three-word name
    """
    if not 1 <= stock_number <= LAST_NUMBER:
        raise ValueError(f"there is no name for stock number {stock_number}")
    if stock_number <= TWO_WORDS_UNTIL:
        return _spoken(*_shuffled(stock_number - 1))
    block, place = divmod(stock_number - TWO_WORDS_UNTIL - 1, PAIRS)
    first, second = _shuffled(place)
    return _spoken(first, second, (second + 1 + (block + THIRD_STEP * place) % (WORDS - 1)) % WORDS)


def slug_for(name: str) -> str:
    """Return the name as it stands in an address: "Maple Harbour" is "maple-harbour"."""
    return "-".join(name.lower().split())


def every_word() -> tuple[str, ...]:
    """Return every word that names are made of, in small letters."""
    return _list("words_first.txt") + _list("words_second.txt")


def _shuffled(number: int) -> tuple[int, int]:
    """Return the pair of word places for 0 to 65,535: each pair exactly once, since both steps are odd."""
    turn, place = divmod(number, WORDS)
    return (FIRST_STEP * place) % WORDS, (SECOND_STEP * (place + turn)) % WORDS


def _spoken(first: int, *others: int) -> str:
    words = [_list("words_first.txt")[first], *(_list("words_second.txt")[place] for place in others)]
    return " ".join(word.capitalize() for word in words)


@cache
def _list(file_name: str) -> tuple[str, ...]:
    return tuple(Path(__file__).with_name(file_name).read_text(encoding="ascii").split())
