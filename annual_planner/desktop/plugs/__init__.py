"""The place of the plugs and cylinders: drawing, tray, rotation, compression, trends."""
