"""Wording of tables: how they were read, and what their columns may hold."""
