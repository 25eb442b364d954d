"""Strokes gained: expected strokes of a golfer, and what recorded strokes gained on them."""
