"""One module a command, each with a click command named ``command``.

A module here imports click and the command line's own modules at its top, everything else inside the
function that runs, so that ``rangework --help`` loads no numerical library.
"""
