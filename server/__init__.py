"""Quadwright: intake, port map, bench card and signed test log for a quadcopter repair shop."""
