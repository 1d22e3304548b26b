"""The notebook as one SQLite file: tables, conversion, unit of work, queries, migrations."""
