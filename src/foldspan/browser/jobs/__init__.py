"""Jobs: tables that were sent here, worked on in processes of their own, and forgotten afterwards."""
