"""Pages: server-rendered HTML over the same actions as the command line."""
