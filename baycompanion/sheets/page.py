"""A sheet drawn as one HTML page for print, which needs nothing but itself."""

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from baycompanion.sheets.form import Form
from baycompanion.text.clean import clean


def draw(form: Form) -> str:
    """Return `form` as HTML."""
    return fill("page.html", form, form.running)


def fill(template: str, form: Any, running: str) -> str:
    """Return a template of this package filled with `form`, `running` at the top of every page.

    No script, nothing fetched; every text in it is shown as text.
    """
    filled = _environment().get_template(template)
    return filled.render(form=form, running=Markup(css_text(running)))


@cache  # a template is compiled once, and a shop's review may print many sheets
def _environment() -> Environment:
    return Environment(
        autoescape=True,
        finalize=_cleaned,
        keep_trailing_newline=True,
        loader=PackageLoader("baycompanion.sheets", "."),
        lstrip_blocks=True,
        trim_blocks=True,
        undefined=StrictUndefined,
    )


def _cleaned(value: Any) -> Any:
    """Return `value` fit to be shown; what the templates themselves made stands as it is."""
    return clean(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def css_text(text: str) -> str:
    r"""Return `text` as it stands between quotation marks in a style sheet.

    Every character but ASCII letters, digits and spaces is written by its code point, `\3c `,
    so that nothing in it can end the string or the style sheet. (CSS Syntax Level 3, section
    4.3.7, from memory.)
    """
    return "".join(
        sign if sign == " " or (sign.isascii() and sign.isalnum()) else f"\\{ord(sign):x} "
        for sign in clean(text).replace("\n", " ")
    )
