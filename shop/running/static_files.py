"""Serves styles and scripts under names that carry their content's hash, so phones keep them.

Before `manage.py start` has gathered them (in tests, say) the plain names are used.
"""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class KeptFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # whitenoise is untyped
    """Hashed names where they are known, plain names otherwise."""

    manifest_strict = False

    def stored_name(self, name: str) -> str:
        """The hashed name, or the name as it is."""
        return self.hashed_files.get(self.hash_key(name)) or name
