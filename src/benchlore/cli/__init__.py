"""The command line: parses, calls the layers below, prints. No logic of its own."""
