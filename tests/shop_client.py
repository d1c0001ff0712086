"""A person's tablet as a plain HTTP client of a running shop: it may find the server gone."""

import http.client
import re
from dataclasses import dataclass
from urllib.parse import urlencode

from tests.running import RunningShop

SIGN_IN = """
from importlib import import_module
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import User
person = User.objects.get(username={username!r})
session = import_module(settings.SESSION_ENGINE).SessionStore()
session[SESSION_KEY] = str(person.pk)
session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
session[HASH_SESSION_KEY] = person.get_session_auth_hash()
session.create()
print(session.session_key)
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    status: int
    body: str


class Tablet:
    """One signed-in person. Every call may raise OSError when the server is away."""

    def __init__(self, shop: RunningShop, username: str) -> None:
        self.port = shop.port
        self.cookies = {"session": shop.python(SIGN_IN.format(username=username))}

    def ask(self, method: str, path: str, fields: dict[str, str] | None = None) -> Answer:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        headers = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        if fields is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        try:
            connection.request(method, path, urlencode(fields) if fields else None, headers)
            response = connection.getresponse()
            body = response.read().decode()
            for line in response.headers.get_all("Set-Cookie") or ():
                name, _, value = line.partition(";")[0].partition("=")
                self.cookies[name] = value
            return Answer(status=response.status, body=body)
        except http.client.HTTPException as error:  # the answer broke off: not acknowledged
            raise OSError(str(error)) from error
        finally:
            connection.close()

    def hidden_fields(self, path: str) -> dict[str, str]:
        """The hidden inputs of the page's main form, as the browser would send them back."""
        body = self.ask("GET", path).body
        found = {}
        for field in re.findall(r"<input[^>]*type=\"hidden\"[^>]*>", body):
            name, value = re.search(r'name="([^"]*)"', field), re.search(r'value="([^"]*)"', field)
            if name and value:
                found[name[1]] = value[1]
        return found
