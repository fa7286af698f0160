"""A screen as the text a person reads on it, without colour, line by line."""

from textual.app import App
from textual.geometry import Region


def text_of(app: App[int]) -> str:
    """Return what `app` shows now, one line of text for each row of the terminal."""
    width, height = app.size
    strips = app.screen._compositor.render_strips()  # the one private name; the version is pinned
    lines = ["".join(segment.text for segment in strip)[:width].rstrip() for strip in strips]
    assert Region(0, 0, width, height).height == height
    return "\n".join(lines) + "\n"
