"""Results from elsewhere: whether their sheet adds up, whether they go with the range."""
