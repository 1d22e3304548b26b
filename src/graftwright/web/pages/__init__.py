"""One module for each page: from the answers of actions to what a template shows."""
