"""Plain functions on numbers and arrays: no clock, no files, no notebook."""
