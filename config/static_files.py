"""Static files under names that change with their content, our modules and what they import alike."""

from whitenoise.storage import CompressedManifestStaticFilesStorage

ImportedNames = CompressedManifestStaticFilesStorage._js_module_import_aggregation_patterns


class HashedStorage(CompressedManifestStaticFilesStorage):
    support_js_module_import_aggregation = True
    # Ours only: a package may import names that its build makes.
    _js_module_import_aggregation_patterns = ("js/*.js", ImportedNames[1])
