"""The parent of what events carry, in a job or in a log of the shop."""

from typing import ClassVar

from pydantic import BaseModel, ConfigDict


class Data(BaseModel):
    """Parent of what the events carry."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    kind: ClassVar[str]
