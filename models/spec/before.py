"""A function that reads a field's value before its type is checked.

pydantic has the like (BeforeValidator), but looks at the function's signature at every one of some 300 fields
of a site file: a third of the time that readying the models takes.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec import Struct
from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema


class Before(Struct, frozen=True):
    """An annotation: `read` gets the value as given; its ValueError becomes the field's."""

    read: Callable[[Any], Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """The schema of the annotated type, behind the function."""
        return core_schema.no_info_before_validator_function(self.read, handler(source))


class BeforeIn(Struct, frozen=True):
    """As Before, for a function that also asks for the file's units: its second argument is the context."""

    read: Callable[[Any, ValidationInfo], Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """The schema of the annotated type, behind the function."""
        return core_schema.with_info_before_validator_function(self.read, handler(source))
