"""Cards of equations as people and programs read them."""
