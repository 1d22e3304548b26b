"""Runs revisions inside the transaction of `upgrade`, which is the only one to start them."""

from alembic import context

context.configure(connection=context.config.attributes["connection"], render_as_batch=True)
context.run_migrations()
