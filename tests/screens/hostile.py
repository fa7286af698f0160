"""Texts that try to be more than text, and a procedure whose every sentence is one of them."""

import json
from typing import Any

import yaml
from bay import SMALL_TEXT
from textual.app import App

MARKUP = "[/] [b]x[/b] [1/4 drive] [@click=app.quit]y[/] $z ["
CODES = "\x1b]0;title\x07 \x1b[2J \x9b31m \u202edrow\u202c \x00\x7f\u2028end"
LONG = "x" * 10_000
HOSTILE = {"codes": MARKUP + CODES, "long": LONG}

_TEXTS = {
    *("title", "fits", "because", "says", "ask", "details", "why", "source", "name", "group"),
    *("danger", "warning", "caution", "notice", "consequence", "avoid"),
    *("do", "check", "measure", "record", "sum", "choose", "wait", "inspect", "witness"),
    *("fastener", "into", "pattern"),
}


def hostile_procedure(text: str) -> str:
    """Return the small procedure with `text` in every sentence of it, as a YAML file."""
    raw = yaml.load(SMALL_TEXT, yaml.BaseLoader)
    for phase in raw["phases"]:
        for step in phase["steps"]:
            step["why"] = "Why"
            step["details"] = ["How", "How else"]
            if "do" in step:
                step["torque"] = [
                    {"fastener": "M5", "into": "plastic", "source": "maker", "pattern": "crosswise"}
                ]
    return json.dumps(_with(raw, text))


def _with(value: Any, text: str, key: str = "") -> Any:
    if isinstance(value, dict):
        return {name: _with(each, text, name) for name, each in value.items()}
    if isinstance(value, list):
        return [_with(each, text, key) for each in value]
    return f"{value} {text}"[:500] if key in _TEXTS and value != "none" else value


def shown_text(app: App[int]) -> str:
    """Return what `app` shows, after proving that all of it is text and nothing more."""
    lines = []
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            assert segment.control is None
            assert not [c for c in segment.text if _acts(c)], repr(segment.text)
            meta = segment.style.meta if segment.style else {}
            assert "app.quit" not in str(meta.get("@click", "")), "text became an action"
        lines.append("".join(segment.text for segment in strip))
    return "\n".join(lines)


def _acts(character: str) -> bool:
    """Return whether a terminal does something at `character` besides showing it."""
    number = ord(character)
    return number < 32 or 127 <= number < 160 or character in "\u202a\u202b\u202c\u202d\u202e\u2028"
