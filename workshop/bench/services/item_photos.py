"""Writer of photos that show one item of a card; the files are on disk already."""

from collections.abc import Collection

from intake.models import Photo
from intake.photos import Kept
from intake.services.photos import keep_rows
from intake.words import PhotoFor
from workshop.bench.cards import Item
from workshop.bench.models import ItemPhoto
from workshop.bench.services.prove import find, open_facts
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry


def add_item_photos(act: Act, job: Job, code: str, kept: Collection[Kept]) -> JournalEntry:
    """Keep photos of one item, of a cut-out for one. :raises Refused: none chosen, or all are there already"""
    with acts.once(act):
        item, _ = find(open_facts(job), code)
        if not kept:
            raise Refused("No photo was chosen. Choose one or more.", field="photos")
        rows = keep_rows(act, job, kept, face="", purpose=PhotoFor.OTHER)
        if not rows:
            raise Refused("These photos are here already.", field="photos")
        ItemPhoto.objects.bulk_create(ItemPhoto(job=job, item=code, photo=row) for row in rows)
        count = "1 photo" if len(rows) == 1 else f"{len(rows)} photos"
        after = {"ids": [row.pk for row in rows], "face": "", "purpose": PhotoFor.OTHER}
        return acts.write(act, "add_photos", f"Added {count} of {item.title}", rows[0], job=job, after=after)


def photos_of(job: Job, item: Item) -> list[Photo]:
    """Return the photos that show an item and were not taken back, the oldest first; one named anew is followed."""
    shas = ItemPhoto.objects.filter(job=job, item=item.code).values("photo__sha")
    standing = Photo.objects.filter(job=job, sha__in=shas, struck=False, corrected_by__isnull=True)
    return list(standing.order_by("pk"))
