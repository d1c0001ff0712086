from django import forms
from django.apps import AppConfig

NEEDS = "This needs a value."


class CatalogConfig(AppConfig):
    name = "catalog"

    def ready(self) -> None:
        """One wording for an empty field in the whole product."""
        forms.Field.default_error_messages["required"] = NEEDS
