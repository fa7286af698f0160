"""A photo made small enough to print, as it stands in the page itself."""

import base64
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Small:
    """A picture made small."""

    jpeg: bytes
    """The bytes of a JPEG file."""

    @property
    def uri(self) -> str:
        """The picture as a data URI."""
        return f"data:image/jpeg;base64,{base64.b64encode(self.jpeg).decode('ascii')}"
