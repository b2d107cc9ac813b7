"""Values by name whose names are not known to the code that hands them on.

What has known names is a dataclass, or on its way to a template a TypedDict.
"""

from typing import Any

FieldValues = dict[str, Any]  # what a form reads or starts from, or a row takes, by field
Json = dict[str, Any]  # an object of JSON, as a field or a file keeps it
