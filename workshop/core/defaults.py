"""What a new model starts from, by its kind: the seals to ask about. The notes of the model replace them."""

from workshop.core.models import ModelNotes, SealPosition
from workshop.core.words import Kind

# name, wears: common practice, no source. Group and steam seals wear; boiler joints stay shut unless they leak.
SEALS: dict[str, tuple[tuple[str, bool], ...]] = {
    Kind.GRINDER: (),
    Kind.LEVER: (("Group seal", True), ("Piston seals", True), ("Steam tap seal", True), ("Boiler joints", False)),
}
USUAL_SEALS = (("Group seal", True), ("Steam tap seal", True), ("Tank seal", True), ("Boiler joints", False))


def lay_defaults(notes: ModelNotes) -> None:
    """Give new model notes the seals of their kind; call it inside the caller's transaction."""
    seals = SEALS.get(notes.kind, USUAL_SEALS)
    SealPosition.objects.bulk_create(
        SealPosition(notes=notes, name=name, wears=wears, is_group=name == "Group seal") for name, wears in seals
    )
