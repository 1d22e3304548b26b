"""How long units last: curves and comparisons from exact times and from times between two looks."""
