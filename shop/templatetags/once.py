"""`csrf_token` of every template: beside the token against forgery, one that makes a press one act.

A form that acts has the first in any case, so none can be without the second.
"""

from __future__ import annotations

import secrets

from django import template
from django.template.base import Parser, Token
from django.template.defaulttags import CsrfTokenNode
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop.once.press import FIELD

register = template.Library()


class TokensNode(CsrfTokenNode):
    """Both hidden fields."""

    def render(self, context: template.Context) -> SafeString:
        """Draw them; nothing where the page has no token against forgery."""
        forgery = super().render(context)
        if not forgery:
            return SafeString()
        token = secrets.token_urlsafe(16)
        return format_html('{}<input type="hidden" name="{}" value="{}">', forgery, FIELD, token)


@register.tag
def csrf_token(parser: Parser, token: Token) -> TokensNode:
    """{% csrf_token %}: the hidden fields that every form that acts begins with."""
    return TokensNode()
