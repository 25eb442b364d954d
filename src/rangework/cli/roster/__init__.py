"""The verbs of `rangework roster`."""
