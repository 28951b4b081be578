"""How many people sign in: what one person alone cannot be asked for."""

from django.db.models import Count, Subquery

from workshop.core.models import User


def count() -> Subquery:
    """Return the number of people who may sign in, to be read beside another row in the same query."""
    active = User.objects.filter(is_active=True).order_by().values("is_active")
    return Subquery(active.annotate(many=Count("pk")).values("many"))


def active() -> int:
    """Return the number of people who may sign in. One query."""
    return User.objects.filter(is_active=True).count()
