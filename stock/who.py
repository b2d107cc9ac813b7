"""Who acts: the person that every writing function records, whatever model the settings name.

The people themselves are the shop's, and the floors below may not import it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.contrib.auth.models import _User as Person  # the checker reads AUTH_USER_MODEL
else:
    from django.contrib.auth.base_user import AbstractBaseUser as Person

__all__ = ["Person"]
