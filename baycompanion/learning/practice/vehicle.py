"""The made-up vehicle of practice, from one door: making it, looking at it, the honest action."""

from baycompanion.learning.practice.honest import truthful
from baycompanion.learning.practice.made_up import MadeUpVehicle, make_vehicle
from baycompanion.learning.practice.planting import Planted
from baycompanion.learning.practice.seeing import Seen, seen_at

__all__ = ["MadeUpVehicle", "Planted", "Seen", "make_vehicle", "seen_at", "truthful"]
