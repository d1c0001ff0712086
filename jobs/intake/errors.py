"""What goes wrong in this slice, as sentences for the person who asked."""


class IntakeError(Exception):
    """The message is shown as it is."""
