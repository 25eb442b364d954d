"""All players of a coach at once: files in and out of the roster, plans for everyone, what practice did."""
