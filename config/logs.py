"""What a log line must not tell: the secret in the address of a customer's link."""

import logging
import re

_LINK = re.compile(r"(/[pq]/)[\w%-]{20,}")


class LineFormatter(logging.Formatter):
    """Cuts the secret out of the finished line, tracebacks included."""

    def __init__(self) -> None:
        super().__init__("{asctime} {levelname} {name}: {message}", style="{")

    def format(self, record: logging.LogRecord) -> str:
        return _LINK.sub(r"\1[secret]", super().format(record))
