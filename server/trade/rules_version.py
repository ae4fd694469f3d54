"""The version of the rules, raised by whoever changes what any of them finds."""

RULES_VERSION = "1"
