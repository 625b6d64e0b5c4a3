"""Random books that look authored, with requests and their results."""
