#!/usr/bin/env python3
"""Run one of the studio's commands inside the environment that it needs.

Written so that an old Python can still read it and say that it is too old.
"""

import os
import sys

if sys.version_info < (3, 11):
    sys.exit(
        "Bench & Post needs Python 3.11 or newer, and this is Python {}.{}. Install a "
        "newer one (from python.org or your system's own packages), then run the same "
        "line with it, for example: python3.12 manage.py demo".format(*sys.version_info)
    )

from studio import bootstrap


def main() -> None:
    bootstrap.enter(sys.argv)
    if sys.argv[1:2] == ["demo"]:
        bootstrap.keep_demo_apart(os.environ)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    if sys.argv[1:2] == ["test"]:
        from studio import testing

        sys.exit(testing.run(sys.argv[2:]))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
