"""What a grower would recognise: things, entries, their order, and the rules that never break."""
