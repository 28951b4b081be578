"""Issued PDFs in the private store: written once under their hash, file first, row after."""

import os
from pathlib import Path

from django.conf import settings


def path_of(sha256: str) -> Path:
    """Return where a PDF of that hash is kept."""
    return Path(settings.MEDIA_ROOT) / "sheets" / sha256[:2] / f"{sha256}.pdf"


def keep(sha256: str, data: bytes) -> Path:
    """Write a PDF once: to a temporary name, synced, then renamed. The same bytes are kept once."""
    path = path_of(sha256)
    if path.exists():
        return path
    path.parent.mkdir(parents=True, exist_ok=True)
    half = path.with_suffix(".part")
    with half.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    half.replace(path)
    return path
