"""The electrical graph: terminals, conductors, devices, switch positions; supply paths, what dies with what, cut sets."""

from .build import build
from .model import Consumer, Edge, Network, Node

__all__ = ["Consumer", "Edge", "Network", "Node", "build"]
