"""The made-up vehicle of practice, from one door: making it, looking at it, the honest action."""

from baycompanion.learning.honest import truthful
from baycompanion.learning.made_up import MadeUpVehicle, make_vehicle
from baycompanion.learning.planting import Planted
from baycompanion.learning.seeing import Seen, seen_at

__all__ = ["MadeUpVehicle", "Planted", "Seen", "make_vehicle", "seen_at", "truthful"]
