"""Equations to families to one agreement range: the statistical kernel."""
