"""A sentence that a template puts together over several lines, for an attribute or another tag."""

import re

from django import template
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


@register.simple_block_tag
def words(content: SafeString) -> SafeString:
    """{% words as label %} … {% endwords %}: what is inside on one line, one space between words.

    What is inside was escaped when it was rendered.
    """
    return mark_safe(re.sub(r"[ \t\n]+", " ", content).strip(" "))
