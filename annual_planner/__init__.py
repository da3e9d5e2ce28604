"""Plan and carry out the annual inspection of light piston airplanes."""

__version__ = "0.1.0"
