"""The subcommands of ``rangework assess``: one module each, with a click command named ``command``."""
