"""The act that stands for all others is a heat, so the floor below lends its billets."""

from tests.billets.conftest import make_billet

__all__ = ["make_billet"]
