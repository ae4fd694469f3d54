"""The radio: ends of travel, arming range, channel order, sticks at rest, lost link."""
