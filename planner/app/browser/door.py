"""Who may come in: the first who brings the link's token, and then nobody but that window's browser."""

import secrets
from dataclasses import dataclass, field
from hmac import compare_digest

BYTES = 32
"""Of chance in a token and in a key."""

Refused = str
"""Why somebody may not come in, one sentence."""


@dataclass
class Door:
    """A door for one place, "127.0.0.1:8040", whose token opens it once."""

    place: str
    token: str = field(default_factory=lambda: secrets.token_urlsafe(BYTES))
    key: str = field(default_factory=lambda: secrets.token_urlsafe(BYTES))
    """What a browser that was let in shows from then on, as a cookie."""
    used: bool = False

    @property
    def link(self) -> str:
        """The link that opens it."""
        return f"http://{self.place}/?token={self.token}"

    @property
    def cookie(self) -> str:
        """Name of the cookie: browsers share cookies between the ports of a computer."""
        return f"planner-{self.place.rpartition(':')[2]}"

    def enters(self, token: str) -> bool:
        """Say whether a token opens the door, and shut it for whoever brings it again."""
        if self.used or not compare_digest(token.encode(), self.token.encode()):
            return False
        self.used = True
        return True

    def refuses(self, host: str, key: str, origin: str | None) -> Refused | None:
        """Return why a request is not served; None if it is.

        Parameters
        ----------
        host
            Where the browser thinks it is. Another site may have given its own name to this computer.
        key
            The cookie it brings.
        origin
            The site whose page asks, where the browser says so.

        """
        if host != self.place:
            return f"This is {self.place}, and nothing else."
        if origin not in (None, f"http://{self.place}"):
            return "Another site's page asked for this."
        if not self.used or not compare_digest(key.encode(), self.key.encode()):
            return "This link opens once, in one browser. Type planner open --browser again for another."
        return None
