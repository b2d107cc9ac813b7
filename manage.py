#!/usr/bin/env python3
"""The one entry to every command: `python3 manage.py start --demo`, `python3 manage.py test`."""

import os
import sys


def main() -> None:
    """Run a command, first making the environment where Django is not there yet."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from shop import bootstrap

    bootstrap.prepare(sys.argv)
    from shop import running

    running.run(sys.argv)


if __name__ == "__main__":
    main()
