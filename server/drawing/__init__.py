"""Pictures: a sheet, a reading or a state in, an SVG string out. Pure, and the same every time."""
