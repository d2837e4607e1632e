"""Equations to method groups to one agreement range: the statistical kernel."""
