#!/usr/bin/env python3
"""The one entry to every command: `python3 manage.py start --demo`, `python3 manage.py test`.

It keeps to what a Python from years ago can read, to be able to say that it is too old.
"""

import os
import sys

OLDEST = (3, 11)


def main() -> None:
    """Run a command, first making the environment where Django is not there yet."""
    if sys.version_info < OLDEST:
        raise SystemExit(
            "This needs Python {}.{} or newer; this is Python {}.{}. Run it with a newer one, "
            "such as python3.{} manage.py".format(*OLDEST, *sys.version_info[:2], OLDEST[1])
        )
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from shop.running import bootstrap

    bootstrap.prepare(sys.argv)
    from shop.running import failures

    failures.run(sys.argv)


if __name__ == "__main__":
    main()
