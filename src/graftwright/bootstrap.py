"""The only place that picks and joins adapters; it imports them inside its functions."""
