"""What a job needs: so many stones of one pairing in one size."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Need:
    """Stones of one pairing in one size."""

    stone: str
    """Id of the stone."""

    coating: str
    """Id of the coating, or ``none``."""

    size: str
    """Stone size, such as ``SS20``."""

    worn: int
    """Stones that the pattern takes."""

    spares: int = 0
    """Stones over that, for loss while they are set and for repairs."""

    @property
    def count(self) -> int:
        """All of them."""
        return self.worn + self.spares
