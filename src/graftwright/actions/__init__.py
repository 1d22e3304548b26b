"""One module for each thing a person does, joining ledger, handbook and science through ports."""
