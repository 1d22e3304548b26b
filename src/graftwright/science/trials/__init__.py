"""Trials: how many units, who gets which arm, and the test that fits the layout."""
