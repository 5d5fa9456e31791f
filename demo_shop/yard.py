"""The invented yard: Saltmere Harbour Works, its twelve machines and its crew of six. Nobody here is real."""

from __future__ import annotations

from dataclasses import dataclass

from demo_shop.places import (
    BELT_CONVEYOR,
    DRAG_FLOOR,
    FLIGHT_ELEVATOR,
    Place,
    belt_conveyor,
    drag_floor,
    flight_elevator,
    in_walk_order,
)
from kiosk.entities import Assembly, Person, Position, Role, Unit

YARD_NAME = "Saltmere Harbour Works"
TIME_ZONE = "America/New_York"
KIOSK = 1
HOPPER = {FLIGHT_ELEVATOR: "3 m³ hopper", BELT_CONVEYOR: "4 m³ hopper", DRAG_FLOOR: "5 m³ body"}
KIND = {FLIGHT_ELEVATOR: "Sweeper with flight elevator", BELT_CONVEYOR: "Sweeper with cleated belt",
        DRAG_FLOOR: "Winter spreader with drag-chain floor"}
ASSEMBLY = {FLIGHT_ELEVATOR: "Elevator", BELT_CONVEYOR: "Conveyor", DRAG_FLOOR: "Floor and disc"}


@dataclass(frozen=True)
class Machine:
    """One machine of the yard.

    Args:
        size: Number of flights, return rollers or drag bars.
        bearing: Insert bearing of its shafts.
        first_hours: Hour meter when the records begin. [h]
    """

    number: int
    bird: str
    design: str
    size: int
    bearing: str
    first_hours: float

    @property
    def id(self) -> str:
        """The unit's id."""
        return f"unit-{self.number:02d}"

    @property
    def is_spreader(self) -> bool:
        """Whether it works in winter only."""
        return self.design == DRAG_FLOOR

    def places(self) -> tuple[Place, ...]:
        """Return its places in walk order."""
        makers = {FLIGHT_ELEVATOR: flight_elevator, BELT_CONVEYOR: belt_conveyor, DRAG_FLOOR: drag_floor}
        return in_walk_order(makers[self.design](self.size))


MACHINES = (
    Machine(1, "Gannet", FLIGHT_ELEVATOR, 9, "UC208", 2140.0),
    Machine(2, "Fulmar", FLIGHT_ELEVATOR, 9, "UC208", 3902.5),
    Machine(3, "Petrel", FLIGHT_ELEVATOR, 10, "UC209", 5210.0),
    Machine(4, "Curlew", FLIGHT_ELEVATOR, 9, "UC208", 1288.5),
    Machine(5, "Dunlin", FLIGHT_ELEVATOR, 8, "UC208", 6433.0),
    Machine(6, "Plover", BELT_CONVEYOR, 2, "UC208", 980.0),
    Machine(7, "Whimbrel", BELT_CONVEYOR, 2, "UC208", 2675.5),
    Machine(8, "Turnstone", BELT_CONVEYOR, 3, "UC209", 4120.0),
    Machine(9, "Avocet", BELT_CONVEYOR, 2, "UC208", 3310.0),
    Machine(10, "Sanderling", BELT_CONVEYOR, 3, "UC209", 455.0),
    Machine(11, "Eider", DRAG_FLOOR, 8, "UC207", 1120.0),
    Machine(12, "Goldeneye", DRAG_FLOOR, 8, "UC207", 760.0),
)


@dataclass(frozen=True)
class Hand:
    """One of the crew, before the badge is issued."""

    id: str
    name: str
    role: Role
    units: str
    language: str = "en"

    def person(self, badge: str) -> Person:
        """Return the person with a badge number."""
        return Person(self.id, self.name, self.role, badge, self.units, self.language)


CREW = (
    Hand("crew-halloran", "Ines Halloran", Role.SUPERVISOR, "in"),
    Hand("crew-oduya", "Bram Oduya", Role.LEAD, "in"),
    Hand("crew-sandvik", "Mette Sandvik", Role.MECHANIC, "mm"),
    Hand("crew-reyl", "Tomas Reyl", Role.MECHANIC, "in"),
    Hand("crew-kestrel", "Priya Kestrel", Role.MECHANIC, "in"),
    Hand("crew-albrecht", "Jonas Albrecht", Role.MECHANIC, "mm"),
)


def unit_of(machine: Machine, label: str) -> Unit:
    """Return the machine as the records know it."""
    description = f"{KIND[machine.design]}, {HOPPER[machine.design]}"
    return Unit(machine.id, f"Unit {machine.number} {machine.bird}", machine.design, label, description)


def assembly_of(machine: Machine) -> Assembly:
    """Return the machine's one assembly."""
    return Assembly(f"{machine.id}-main", machine.id, ASSEMBLY[machine.design], machine.design)


def positions_of(machine: Machine) -> tuple[Position, ...]:
    """Return the machine's positions in walk order."""
    assembly = assembly_of(machine)
    return tuple(
        Position(position_id(machine, place.name), machine.id, assembly.id, place.name, place.sheet, place.side,
                 *place.point(machine.design), order)
        for order, place in enumerate(machine.places(), start=1)
    )


def position_id(machine: Machine, place: str) -> str:
    """Return the id of a machine's place: readable, as nothing needs it to be otherwise."""
    return f"{machine.id}-{place.lower().replace(', ', '-').replace(' ', '-')}"
