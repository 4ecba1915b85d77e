"""Arithmetic of preparation: drying, what a route comes to, and the routes side by side."""
