"""Static files under names that change with their content, modules and what they import alike."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStorage(CompressedManifestStaticFilesStorage):
    support_js_module_import_aggregation = True
