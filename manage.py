#!/usr/bin/env python3
"""Plain Django, with one more door: `demo`, `test` and `open-shop` set everything up first."""

import os
import sys

if sys.version_info < (3, 11):  # noqa: UP036 (the sentence is for the Python that is too old)
    sys.exit("Second Pull needs Python 3.11 or newer. This is %d.%d." % sys.version_info[:2])  # noqa: UP031 (old Pythons must parse this)


def main():
    """Hand the three set-up commands to the bootstrap, everything else to Django."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    from workshop import bootstrap

    if bootstrap.wants(sys.argv):
        sys.exit(bootstrap.run(sys.argv))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
