"""Schemas: the form of every JSON that commands print and the API returns, said once.

``notation`` reads how a value is written down, ``of_visits`` and ``of_tables`` hold the shapes, and
``published`` makes JSON Schema of them.
"""
