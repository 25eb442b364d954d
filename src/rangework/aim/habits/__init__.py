"""Habits: how a player aims over a whole round, what that costs, and the few rules that would cost less."""
