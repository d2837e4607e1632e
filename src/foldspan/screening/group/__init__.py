"""Group: what may be told of a whole table without telling anything of a person."""
