"""Static files under names that change with their content, modules and what they import alike."""

from whitenoise.storage import CompressedManifestStaticFilesStorage

_, IMPORTS = CompressedManifestStaticFilesStorage._js_module_import_aggregation_patterns


class HashedStorage(CompressedManifestStaticFilesStorage):
    """Follows imports in our own modules only: words in other scripts merely look like imports."""

    patterns = (*CompressedManifestStaticFilesStorage.patterns, ("js/bay/*.js", IMPORTS))
