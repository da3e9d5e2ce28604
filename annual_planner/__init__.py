"""Plan and carry out the annual inspection of light piston airplanes."""
