"""Typing that could not be taken (session ended, page too old) is kept in the session and offered again."""

from dataclasses import dataclass

from django.http import HttpRequest, QueryDict

_SESSION_KEY = "kept_typing"
_LIMIT = 200_000  # characters; more than any form here holds. House policy.
_NEVER = {"csrfmiddlewaretoken", "password", "password1", "password2", "new_password"}
_MACHINERY = {"key", "version", "seen", "sure", "draft"}


@dataclass(frozen=True, slots=True)
class Typing:
    """A form as it was sent: where to, and its text fields. Photos cannot be kept and must be chosen again."""

    path: str
    fields: list[tuple[str, str]]
    had_files: bool

    @property
    def shown(self) -> list[tuple[str, str]]:
        """Return the fields a person typed, in plain words, without the hidden machinery."""
        return [(n.split("-")[-1].replace("_", " "), v) for n, v in self.fields if v and not is_machinery(n)]


def is_machinery(name: str) -> bool:
    """Say whether a field is the form's own, or a secret: nothing that a person typed to be kept."""
    return name.split("-")[-1] in _MACHINERY | _NEVER


def fields_of(data: QueryDict) -> list[tuple[str, str]]:
    """Return the text fields of a POST, in order, without passwords and tokens."""
    return [(name, value) for name in data for value in data.getlist(name) if name not in _NEVER]


def keep(request: HttpRequest) -> None:
    """Park a POST's text fields in the session, if they are of a size a person can have typed."""
    fields = fields_of(request.POST)
    if fields and sum(len(value) for _, value in fields) <= _LIMIT:
        request.session[_SESSION_KEY] = {
            "path": request.path,
            "fields": fields,
            "had_files": bool(request.FILES),
        }


def waiting(request: HttpRequest) -> Typing | None:
    """Return what is parked in this session, if anything."""
    parked = request.session.get(_SESSION_KEY)
    if not parked:
        return None
    return Typing(parked["path"], [(name, value) for name, value in parked["fields"]], parked["had_files"])


def drop(request: HttpRequest) -> None:
    """Forget what is parked."""
    request.session.pop(_SESSION_KEY, None)
