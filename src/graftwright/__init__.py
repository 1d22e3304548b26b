"""A propagation ledger that computes, for people who graft fruit and nut trees."""

__version__ = "0.1.0"
