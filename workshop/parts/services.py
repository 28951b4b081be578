"""Writers of the drawer: parts, what came in, what went into a machine."""

from decimal import Decimal

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import Area
from workshop.parts.models import Movement, Part
from workshop.trade.money.rounding import round_half_up


def add_part(
    act: Act, *, name: str, size: str, material: str, supplier: str, qty: int, cost_minor: int
) -> JournalEntry:
    """Add a part, with what is in the drawer and what one piece cost."""
    with acts.once(act):
        if Part.objects.filter(name__iexact=name).exists():
            raise Refused("There is a part of this name. Add pieces to that one.", field="name")
        part = Part.objects.create(name=name, size=size, material=material, supplier=supplier)
        if qty:
            _move(act, part, qty, qty * cost_minor, None, "")
        return acts.write(act, "add_part", f"Added part {name}", part, area=Area.BENCH, after={"qty": qty})


def receive(act: Act, part: Part, *, qty: int, cost_minor: int) -> JournalEntry:
    """Put pieces into the drawer at what one of them cost."""
    with acts.once(act):
        _move(act, part, qty, qty * cost_minor, None, "")
        return acts.write(act, "receive_part", f"{qty} of {part} came in", part, area=Area.BENCH)


def take(act: Act, part: Part, qty: int, job: Job, reason: str = "") -> Movement:
    """Take pieces for a job, inside the caller's transaction; the movement's value is their average cost.

    :raises Refused: when the drawer holds fewer and no reason is given.
    """
    on_hand, value_minor = stock_of(part)
    if qty > on_hand and not reason:
        raise Refused(f"The drawer holds {on_hand} of {part}. Add the pieces that came in first.", field="part")
    cost = round_half_up(Decimal(value_minor) * qty / on_hand) if on_hand >= qty else value_minor
    return _move(act, part, -qty, -cost, job, reason)


def bring_in(act: Act, name: str, qty: int, *, one_minor: int, job: Job, reason: str) -> Movement:
    """Put pieces that came out of a machine into the drawer, inside the caller's transaction, at a stated value.

    A name the drawer does not know (case is ignored) becomes a new part.
    """
    part = Part.objects.filter(name__iexact=name).first() or Part.objects.create(name=name)
    return _move(act, part, qty, qty * one_minor, job, reason)


def take_out_again(act: Act, movement: Movement) -> Movement:
    """Undo a bringing in. :raises Refused: when the drawer does not hold those pieces, or their value, any more."""
    on_hand, value_minor = stock_of(movement.part)
    if on_hand < movement.qty or value_minor < movement.value_minor:
        raise Refused(f"Pieces of {movement.part} have left the drawer since. Put them back first.")
    return put_back(act, movement)


def put_back(act: Act, movement: Movement) -> Movement:
    """Undo a movement: the same pieces and value go the other way, as a movement of their own."""
    return _move(act, movement.part, -movement.qty, -movement.value_minor, movement.job, "put back")


def stock_of(part: Part) -> tuple[int, int]:
    """Return (pieces on hand, their value in minor units)."""
    last = part.movements.order_by("-seq").first()
    return (last.on_hand_after, last.value_after_minor) if last else (0, 0)


def _move(act: Act, part: Part, qty: int, value_minor: int, job: Job | None, reason: str) -> Movement:
    last = part.movements.order_by("-seq").first()
    return Movement.objects.create(
        part=part,
        seq=(last.seq if last else 0) + 1,
        qty=qty,
        value_minor=value_minor,
        on_hand_after=(last.on_hand_after if last else 0) + qty,
        value_after_minor=(last.value_after_minor if last else 0) + value_minor,
        job=job,
        reason=reason,
        by=act.by,
        at=act.at,
    )
