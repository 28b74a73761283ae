"""The sums of the trade: pure functions and tables over SI values."""
