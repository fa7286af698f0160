"""The two themes, dark and light; every pair of text and ground in them has a contrast of 4.5:1."""

from textual.theme import Theme

_DARK = {
    "danger": "#ff8f8f",
    "warning-word": "#ffb454",
    "caution-word": "#f2e05e",
    "notice-word": "#8fc7ff",
    "good-word": "#7ee29b",
    "quiet-word": "#a9b4bf",
    "label-word": "#8fd3e0",
}
_LIGHT = {
    "danger": "#a30d0d",
    "warning-word": "#8a2e00",
    "caution-word": "#665200",
    "notice-word": "#0b4f94",
    "good-word": "#0f5c2c",
    "quiet-word": "#4d565f",
    "label-word": "#0b5563",
}


def _more(words: dict[str, str], ground: str, ink: str, bar: str, selected: str) -> dict[str, str]:
    """Return the variables that the library would otherwise mix, some of them too pale."""
    return {
        **words,
        "footer-background": bar,
        "footer-foreground": ink,
        "footer-key-foreground": words["label-word"],
        "footer-key-background": bar,
        "footer-description-foreground": ink,
        "footer-description-background": bar,
        "input-cursor-background": ground,
        "input-cursor-foreground": ink,
        "input-cursor-text-style": "reverse",
        "input-selection-background": selected,
        "block-cursor-background": ground,
        "block-cursor-foreground": words["label-word"],
        # Reversed, not coloured: the line in hand must stand out without colour too.
        "block-cursor-text-style": "bold reverse",
        "block-cursor-blurred-background": bar,
        "block-cursor-blurred-foreground": ink,
        "block-cursor-blurred-text-style": "bold underline",
        "border": words["label-word"],
        "border-blurred": words["quiet-word"],
        "button-foreground": ink,
        "button-color-foreground": ground,
        "button-focus-text-style": "bold reverse",
        "text-muted": words["quiet-word"],
        "text-disabled": words["quiet-word"],
    }


BAY_DARK = Theme(
    name="bay-dark",
    dark=True,
    primary="#8fd3e0",
    secondary="#8fc7ff",
    accent="#8fd3e0",
    foreground="#eef2f5",
    background="#11161a",
    surface="#1a2127",
    panel="#232c34",
    success="#7ee29b",
    warning="#ffb454",
    error="#ff8f8f",
    variables=_more(_DARK, "#11161a", "#eef2f5", "#232c34", "#2b5660"),
)
BAY_LIGHT = Theme(
    name="bay-light",
    dark=False,
    primary="#0b5563",
    secondary="#0b4f94",
    accent="#0b5563",
    foreground="#14181b",
    background="#fbfbf8",
    surface="#f1f1ec",
    panel="#e4e5df",
    success="#0f5c2c",
    warning="#8a2e00",
    error="#a30d0d",
    variables=_more(_LIGHT, "#fbfbf8", "#14181b", "#e4e5df", "#b5d9e0"),
)
THEMES = (BAY_DARK, BAY_LIGHT)
