"""A shop of our own invention, worked through by the real acts."""
