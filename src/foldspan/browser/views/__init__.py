"""Views: one module a page; each turns what was asked into a page or a way to another."""
