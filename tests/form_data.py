"""What a browser would send: the fields of a page's main form, hidden ones included."""

from html.parser import HTMLParser
from typing import Any


class _Form(HTMLParser):
    """Collects names and values of the first form with method post and class form."""

    def __init__(self) -> None:
        super().__init__()
        self.data: dict[str, list[str]] = {}
        self.inside = self.done = False
        self.select = self.textarea = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {key: value or "" for key, value in attrs}
        if tag == "form" and not self.done and "form" in held.get("class", "").split():
            self.inside = held.get("method") == "post"
        if not self.inside:
            return
        name = held.get("name", "")
        if tag == "input" and name:
            self._input(name, held)
        elif tag == "select":
            self.select = name
        elif tag == "option" and "selected" in held:
            self._add(self.select, held.get("value", ""))
        elif tag == "textarea":
            self.textarea = name
            self._add(name, "")

    def _input(self, name: str, held: dict[str, str]) -> None:
        kind = held.get("type", "text")
        if kind in ("checkbox", "radio") and "checked" not in held:
            return
        if kind != "file":
            self._add(name, held.get("value", "on" if kind == "checkbox" else ""))

    def _add(self, name: str, value: str) -> None:
        self.data.setdefault(name, []).append(value)

    def handle_data(self, data: str) -> None:
        if self.textarea:
            # A browser drops the line feed that follows the opening tag.
            text = self.data[self.textarea][-1] + data
            self.data[self.textarea][-1] = text

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea" and self.textarea:
            text = self.data[self.textarea][-1]
            self.data[self.textarea][-1] = text.removeprefix("\n").removeprefix("\r\n")
            self.textarea = ""
        if tag == "form" and self.inside:
            self.inside, self.done = False, True


def form_data(answer: Any, **typed: Any) -> dict[str, Any]:
    """The form of an answered page as it would be sent, with some fields typed over.

    None takes a field away, as an unticked box does.
    """
    form = _Form()
    form.feed(answer.content.decode())
    data: dict[str, Any] = {
        name: values if len(values) > 1 else values[0] for name, values in form.data.items()
    }
    data.update(typed)
    data.pop("csrfmiddlewaretoken", None)
    return {name: value for name, value in data.items() if value is not None}
