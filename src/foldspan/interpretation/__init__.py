"""Measures of the health standards, the chance of every band and of every referral rule."""
