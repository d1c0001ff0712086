"""Why something about a quote cannot be done, as a sentence for the person who tried it."""

from typing import Any


class QuoteError(Exception):
    """The rules do not allow it."""


class StaleError(QuoteError):
    """Somebody else was quicker: what the person saw is no longer what is stored."""


class DecidedError(QuoteError):
    """The customer has answered already; `decision` says what, who and when."""

    def __init__(self, sentence: str, decision: Any) -> None:
        super().__init__(sentence)
        self.decision = decision
