"""Published figures, each in one place with its source and how far it can be trusted."""
