"""Readers and writers of files that people bring."""
