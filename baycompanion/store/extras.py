"""Libraries that are installed only by whoever wants what they do: the extras of the package."""

from importlib import import_module

from baycompanion.store.trouble import StoreTrouble


def refuse_without(library: str, extra: str, needs: str) -> None:
    """Refuse where `library` is not installed; `needs` says in a sentence what is missing.

    Raises:
        StoreTrouble: It is not; the message says which `extra` to install.
    """
    try:
        import_module(library)
    except ImportError:
        install = f"python -m pip install 'baycompanion[{extra}]'"
        raise StoreTrouble(f"{needs} Install it with: {install}") from None
