"""What a page sends to be kept while somebody types: checked, for it comes by itself."""

import json
from typing import Any

from django import forms

from workshop.core import kept

MOST_BYTES = 20_000  # more than any form here holds when filled by hand. House policy.


class DraftForm(forms.Form):
    """Typing of one form of one page; `typed` is JSON: {name: [value, ...]}. It has no key: a draft is no act."""

    page = forms.RegexField(r"^/\S*\Z", max_length=500, strip=False)
    form = forms.RegexField(r"^/\S*\Z", max_length=300, strip=False)
    typed = forms.CharField(strip=False)

    def clean_typed(self) -> dict[str, list[str]]:
        """Return what was typed by field name, without passwords and the form's own machinery."""
        raw: str = self.cleaned_data["typed"]
        if len(raw.encode()) > MOST_BYTES:
            raise forms.ValidationError("This is too much to keep.")
        try:
            found = json.loads(raw)
        except (ValueError, RecursionError):
            found = None
        if not _is_typing(found):
            raise forms.ValidationError("This is not typing.")
        return {name: values for name, values in found.items() if not kept.is_machinery(name)}


def _is_typing(typed: Any) -> bool:
    """Say whether it is {name: [text, ...]} in characters that a database can hold."""
    if not isinstance(typed, dict) or not all(isinstance(values, list) for values in typed.values()):
        return False
    texts = [*typed, *(value for values in typed.values() for value in values)]
    return all(isinstance(text, str) and _can_be_stored(text) for text in texts)


def _can_be_stored(text: str) -> bool:
    return not any(char == "\x00" or "\ud800" <= char <= "\udfff" for char in text)
