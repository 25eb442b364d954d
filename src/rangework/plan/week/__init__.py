"""The days before an event, or of a plain week: what to do when, within the hours and places there are."""
