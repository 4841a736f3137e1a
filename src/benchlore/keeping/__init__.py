"""Note files: their names, saving them without losing one, drafts of what is being typed."""
