"""Trade groups: what is shown and hidden together because one crew brings it."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from models.part import Role

if TYPE_CHECKING:
    from models.pier import Pier


class Group(StrEnum):
    """A trade group, in the order of the work; the value is what people read."""

    CAGE = "cage"
    DOWELS = "dowels"
    RODS = "rods"
    NUTS = "nuts and washers"
    PLATE = "plate and grout"
    TEMPLATE = "template"
    BEAM = "beam"
    EMBEDS = "embeds"
    GRADE_BEAM = "grade beam"
    CONCRETE = "concrete"


ROLES: dict[Group, tuple[Role, ...]] = {
    Group.CAGE: (Role.VERTICAL, Role.TIE, Role.CROSSTIE, Role.HOOP),
    Group.DOWELS: (Role.DOWEL,),
    Group.RODS: (Role.ROD, Role.BAR_ANCHOR, Role.HEAD),
    Group.NUTS: (Role.NUT, Role.LEVELING_NUT, Role.WASHER),
    Group.PLATE: (Role.PLATE, Role.SHIM, Role.STANDING, Role.GROUT),
    Group.TEMPLATE: (Role.TEMPLATE,),
    Group.BEAM: (Role.BEAM,),
    Group.EMBEDS: (Role.EMBED,),
    Group.GRADE_BEAM: (Role.GRADE_BEAM,),
    Group.CONCRETE: (Role.CONCRETE,),
}
_GROUP = {role: group for group, roles in ROLES.items() for role in roles}


def by_group(pier: Pier) -> dict[Group, list[int]]:
    """The parts of a pier by trade group, as indices into `pier.parts`; the concrete is not among them."""
    found: dict[Group, list[int]] = {}
    for i, part in enumerate(pier.parts):
        found.setdefault(group_of(part.role), []).append(i)
    return found


def group_of(role: Role) -> Group:
    """The group of a role."""
    return _GROUP[role]
