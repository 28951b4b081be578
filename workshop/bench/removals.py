"""Items this workshop asks no longer, because they showed nothing for long."""

from workshop.bench.models import ItemRemoval


def removed() -> frozenset[str]:
    """Return the codes of the items asked no longer. One query."""
    newest = dict(ItemRemoval.objects.order_by("pk").values_list("item", "removed"))
    return frozenset(code for code, gone in newest.items() if gone)
