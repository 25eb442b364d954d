"""The demo scenario: an invented player, course and week."""
