"""The only door to Pillow: a photo is checked by its content, turned upright, shrunk, cleaned and kept by its hash.

Kept are a JPEG of at most 1600 px and a WebP of at most 400 px, without any data of the upload but its pixels.
The file is written first (fsync, rename), the row after: a row never points at nothing.
"""

import hashlib
import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from django.conf import settings
from django.utils import timezone

if TYPE_CHECKING:
    from PIL import Image

FORMATS = ("JPEG", "PNG", "WEBP")
MAX_PIXELS = 60_000_000  # a 48 MP phone photo passes; what is larger is no phone photo. House policy.
LONG_SIDE_PX, THUMB_SIDE_PX = 1600, 400  # 1600 prints 48 mm wide far above 200 dpi. House policy.
JPEG_QUALITY, THUMB_QUALITY = 85, 80
_SHA = re.compile(r"[0-9a-f]{64}")
# Tags of EXIF 2.32: orientation, last change, the EXIF part, and in it time taken and its offset.
_ORIENTATION, _CHANGED, _EXIF_PART, _TAKEN, _TAKEN_OFFSET = 0x0112, 0x0132, 0x8769, 0x9003, 0x9011
_FIRST_CAMERA_YEAR = 1990  # an earlier year means that the camera's clock was never set

# Pillow's readers answer broken input with any of these, depending on where the break is.
_BROKEN = (OSError, SyntaxError, ValueError, TypeError, IndexError, KeyError, EOFError, ArithmeticError, RuntimeError)


class Readable(Protocol):
    """A file to read from, as an upload or a test's bytes are."""

    def read(self, size: int, /) -> Any:
        """Return at most that many bytes."""


class PhotoRefused(Exception):
    """A file that is not kept; `sentence` says why and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Kept:
    """A photo on disk that may or may not have a row yet."""

    sha: str
    original_sha: str
    width_px: int
    height_px: int
    taken_at: datetime | None = None


def take_in(file: Readable) -> Kept:
    """Check an uploaded file, keep it in both sizes and return what a row needs.

    :raises PhotoRefused: empty, too large, not JPEG/PNG/WebP, over 60 megapixels, or cut short
    """
    data = _read(file)
    picture, taken_at = _decoded(data)
    large = _encoded(picture, "JPEG", quality=JPEG_QUALITY, exif=b"")
    thumb = picture.copy()
    thumb.thumbnail((THUMB_SIDE_PX, THUMB_SIDE_PX))
    sha = hashlib.sha256(large).hexdigest()
    _write(_path(sha, ".thumb.webp"), _encoded(thumb, "WEBP", quality=THUMB_QUALITY, exif=b""))
    _write(_path(sha, ".jpg"), large)
    return Kept(sha, hashlib.sha256(data).hexdigest(), picture.width, picture.height, taken_at)


def open_photo(sha: str) -> bytes:
    """Return the kept JPEG. :raises FileNotFoundError: when there is none of that hash."""
    return _path(sha, ".jpg").read_bytes()


def open_thumb(sha: str) -> bytes:
    """Return the kept WebP of at most 400 px. :raises FileNotFoundError: when there is none of that hash."""
    return _path(sha, ".thumb.webp").read_bytes()


def is_kept(sha: str) -> bool:
    """Say whether a photo of that hash is on disk."""
    return bool(_SHA.fullmatch(sha)) and _path(sha, ".jpg").exists()


def _path(sha: str, ending: str) -> Path:
    if not _SHA.fullmatch(sha):
        raise FileNotFoundError(sha)
    return Path(settings.MEDIA_ROOT) / sha[:2] / f"{sha}{ending}"


def _read(file: Readable) -> bytes:
    limit: int = settings.PHOTO_MAX_BYTES
    data: bytes = file.read(limit + 1)
    if not data:
        raise PhotoRefused("This file is empty. Choose the photo again.")
    if len(data) > limit:
        raise PhotoRefused(f"This photo is over {limit // 1024**2} MB. Send it in a smaller size.")
    return data


def _decoded(data: bytes) -> "tuple[Image.Image, datetime | None]":
    """Return the picture upright, in RGB, at most 1600 px, with nothing but pixels; and when it was taken."""
    from PIL import Image, ImageFile, UnidentifiedImageError

    ImageFile.LOAD_TRUNCATED_IMAGES = False  # the PDF library switches it on for the whole process
    bombs = (Image.DecompressionBombError, Image.DecompressionBombWarning)
    try:
        picture = Image.open(BytesIO(data), formats=FORMATS)  # reads the head only
    except UnidentifiedImageError:
        raise PhotoRefused("This is not a photo we can read. Send JPEG, PNG or WebP.") from None
    except bombs:
        raise _too_many_pixels(None) from None
    except _BROKEN:
        raise PhotoRefused("This photo is damaged. Send it again from where it was taken.") from None
    if picture.width * picture.height > MAX_PIXELS:
        raise _too_many_pixels(picture.width * picture.height)
    try:
        small = _shrunk(picture)
        exif = _quietly(picture.getexif, None)  # after shrinking: a PNG decodes to answer this
        taken_at = _quietly(lambda: _taken_at(exif), None) if exif else None
        return _clean(_upright(small, exif)), taken_at
    except bombs:
        raise _too_many_pixels(None) from None
    except _BROKEN:
        raise PhotoRefused("This photo is cut short or damaged. Send it again.") from None


def _too_many_pixels(count: int | None) -> PhotoRefused:
    said = f"{count // 10**6} megapixels" if count else "far too many pixels"
    return PhotoRefused(f"This photo has {said}. At most {MAX_PIXELS // 10**6} megapixels are kept: send it smaller.")


def _shrunk(picture: "Image.Image") -> "Image.Image":
    """Return at most 1600 px in RGB. A JPEG is shrunk while it decodes; others are made RGB first."""
    from PIL import Image

    if picture.mode not in ("RGB", "L", "CMYK"):
        picture = _in_rgb(picture)
    picture.thumbnail((LONG_SIDE_PX, LONG_SIDE_PX), Image.Resampling.LANCZOS, reducing_gap=2.0)
    picture.load()
    return _in_rgb(picture)


def _in_rgb(picture: "Image.Image") -> "Image.Image":
    from PIL import Image

    if picture.mode in ("I", "I;16", "I;16B", "I;16L", "F"):
        return picture.convert("I").point(lambda value: value / 256).convert("L").convert("RGB")
    if picture.mode in ("RGBA", "LA", "PA", "La", "RGBa") or "transparency" in picture.info:
        layer = picture.convert("RGBA")
        ground = Image.new("RGBA", layer.size, "white")
        ground.alpha_composite(layer)
        return ground.convert("RGB")
    matched: Image.Image | None = _quietly(lambda: _in_srgb(picture), None)
    return matched or picture.convert("RGB")


def _in_srgb(picture: "Image.Image") -> "Image.Image | None":
    """Return the picture in sRGB when it carries another colour profile: dropping that would shift its colours."""
    from PIL import ImageCms

    profile = picture.info.get("icc_profile")
    if not profile or picture.mode not in ("RGB", "CMYK"):
        return None
    own = ImageCms.ImageCmsProfile(BytesIO(profile))
    return ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"), outputMode="RGB")


def _upright(picture: "Image.Image", exif: Any) -> "Image.Image":
    """Return the picture turned as its camera was held (EXIF orientation 2 to 8)."""
    from PIL import Image

    turn = Image.Transpose
    turns = {
        2: turn.FLIP_LEFT_RIGHT,
        3: turn.ROTATE_180,
        4: turn.FLIP_TOP_BOTTOM,
        5: turn.TRANSPOSE,
        6: turn.ROTATE_270,
        7: turn.TRANSVERSE,
        8: turn.ROTATE_90,
    }
    how = turns.get(exif.get(_ORIENTATION)) if exif else None
    return picture.transpose(how) if how is not None else picture


def _clean(picture: "Image.Image") -> "Image.Image":
    """Return the pixels alone: a fresh picture carries no comment, profile, EXIF, XMP or place."""
    from PIL import Image

    fresh = Image.new("RGB", picture.size)
    fresh.paste(picture)
    return fresh


def _taken_at(exif: Any) -> datetime | None:
    """Return when the camera says it was taken; its clock counts as the workshop's where it names no offset."""
    part = exif.get_ifd(_EXIF_PART)
    text = str(part.get(_TAKEN) or exif.get(_CHANGED) or "").strip("\x00 ")
    offset = str(part.get(_TAKEN_OFFSET) or "").strip("\x00 ")
    zone: tzinfo = timezone.get_current_timezone()
    when = datetime.strptime(text, "%Y:%m:%d %H:%M:%S").replace(tzinfo=zone)
    if offset:
        when = datetime.strptime(f"{text}{offset}", "%Y:%m:%d %H:%M:%S%z")
    return when.astimezone(UTC) if when.year >= _FIRST_CAMERA_YEAR else None


def _quietly(read: Callable[[], Any], otherwise: Any) -> Any:
    """Return what `read` gives, or `otherwise`: damaged side data must not cost a good picture."""
    from PIL import ImageCms

    try:
        return read()
    except (*_BROKEN, ImageCms.PyCMSError):
        return otherwise


def _encoded(picture: "Image.Image", kind: str, **how: Any) -> bytes:
    out = BytesIO()
    picture.save(out, kind, **how)
    return out.getvalue()


def _write(path: Path, data: bytes) -> None:
    """Write a file so that it is either whole or not there, also after a power cut."""
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, suffix=".part")
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    Path(temporary).replace(path)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
