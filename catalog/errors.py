"""What can stand against a change of the catalog. Each holds a sentence for the person."""


class CatalogError(Exception):
    """A change that cannot be made."""


class StalePart(CatalogError):
    """Somebody else made a revision after the one that was looked at."""


class NothingChanged(CatalogError):
    """The datasheet already says all of this."""


class StaleImport(CatalogError):
    """The catalog or the file is no longer what the dry run saw."""
