"""Play: strategy by dynamic programming, rounds by Monte Carlo."""
