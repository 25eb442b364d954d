"""Drills and the parts they train, how practice pays, and the week's hours."""
