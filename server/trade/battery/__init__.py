"""Battery readings, and what the current at first power means."""
