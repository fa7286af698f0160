"""YAML written and read as quickly as the library can, for data that tests make up."""

from typing import Any

import yaml

_DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def as_yaml(value: Any) -> str:
    """Return `value` as YAML text, in its own order."""
    return str(yaml.dump(value, Dumper=_DUMPER, sort_keys=False, allow_unicode=True))


def from_yaml(text: str) -> Any:
    """Return what `text` says."""
    return yaml.load(text, Loader=_LOADER)
