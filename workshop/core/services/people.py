"""Writers of people: those who sell and buy, and those who sign in."""

from collections.abc import Mapping
from typing import Any

from workshop.core import acts, search
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry, Person, User
from workshop.core.words import Area, Role


def add_person(act: Act, values: Mapping[str, Any]) -> JournalEntry:
    """Add a seller, buyer or supplier. The journal keeps which fields were given, never what they held."""
    with acts.once(act):
        row = Person.objects.create(**values)
        given = [name for name, value in values.items() if value]
        return acts.write(act, "add_person", "Added a person", row, area=Area.PERSON, after={"fields": given})


def change_person(act: Act, person: Person, version: int, values: Mapping[str, Any]) -> JournalEntry:
    """Change a person. :raises Stale: when somebody else changed it meanwhile."""
    with acts.once(act):
        _, after = acts.change(person, version, values)
        search.person_changed(person)
        return acts.write(
            act, "change_person", "Changed a person", person, area=Area.PERSON, after={"fields": [*after]}
        )


def add_user(act: Act, *, username: str, first_name: str, role: str, password: str) -> JournalEntry:
    """Add a person who signs in."""
    with acts.once(act):
        row = User.objects.create_user(username=username, first_name=first_name, role=role, password=password)
        return acts.write(act, "add_user", f"{row} may sign in as {role.lower()}", row, area=Area.PERSON)


def first_owner(*, username: str, first_name: str, password: str) -> User:
    """Make the first person, the owner. :raises Refused: when somebody is there already."""
    if User.objects.exists():
        raise Refused("This workshop has an owner already. Ask them to let you in.")
    return User.objects.create_user(username=username, first_name=first_name, role=Role.OWNER, password=password)
