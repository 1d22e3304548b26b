"""Species and method sheets: cited values, their schema and their sources."""
