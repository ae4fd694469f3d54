"""The trade's tables, one row a fact, each with its source."""
