"""Photos on their way in: new files are kept at once, so a form that is refused need not ask for them again. Where
scripts run each file is sent on its own as soon as it is chosen, and the form only carries its token.

What was kept travels in the form as signed tokens; a token cannot be made by hand, and runs out.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core import signing
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, QueryDict

from intake import photos
from intake.photos import Kept, PhotoRefused

_SALT = "intake.kept-photo"
_MAX_AGE_S = 14 * 24 * 3600  # as long as a session; house policy
MAX_FILES = 20  # of one form; a person presses again for more. House policy.


@dataclass(frozen=True, slots=True)
class Received:
    """What a form brought: photos that are kept, and a sentence for each file that is not."""

    kept: tuple[Kept, ...] = ()
    refusals: tuple[str, ...] = ()


def receive(request: HttpRequest, field: str = "photos") -> Received:
    """Keep the files of a form, also those from the camera, after those that were kept before this press."""
    kept = {one.sha: one for one in _kept_before(request.POST.get("kept", ""))}
    refusals = []
    files = request.FILES.getlist(field) + request.FILES.getlist("camera")
    for file in files[:MAX_FILES]:
        try:
            one = photos.take_in(file)
        except PhotoRefused as refused:
            refusals.append(_named(file, refused.sentence, alone=len(files) == 1))
        else:
            kept[one.sha] = one
    if len(files) > MAX_FILES:
        refusals.append(f"At most {MAX_FILES} photos at once. Add the others on Intake.")
    return Received(tuple(kept.values()), tuple(refusals))


def _named(file: "UploadedFile[Any]", sentence: str, *, alone: bool) -> str:
    return sentence if alone else f"{(file.name or 'One file')[:60]}: {sentence}"


def with_kept(data: QueryDict, received: Received) -> QueryDict:
    """Return the form's data with the tokens of what is kept now."""
    data = data.copy()
    data["kept"] = " ".join(token(one) for one in received.kept)
    return data


def token(kept: Kept) -> str:
    """Return a kept photo as a signed word."""
    taken = kept.taken_at.isoformat() if kept.taken_at else ""
    return signing.dumps([kept.sha, kept.original_sha, kept.width_px, kept.height_px, taken], salt=_SALT)


def _kept_before(words: str) -> Iterable[Kept]:
    for word in words.split()[: 2 * MAX_FILES]:
        try:
            sha, original_sha, width_px, height_px, taken = signing.loads(word, salt=_SALT, max_age=_MAX_AGE_S)
        except signing.BadSignature:
            continue  # run out or made by hand: as if nothing had been sent
        if photos.is_kept(sha):
            taken_at = datetime.fromisoformat(taken) if taken else None
            yield Kept(sha, original_sha, width_px, height_px, taken_at)
