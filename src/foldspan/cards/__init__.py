"""Cards of equations as people and programs read them: found, written out, worked out for one client."""
