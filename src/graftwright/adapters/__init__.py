"""What the outside world needs: the database, and files of one kind and another."""
