"""The same book in databases: what a full recost and one changed price take there."""
