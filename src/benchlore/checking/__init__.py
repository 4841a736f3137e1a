"""What in the notes needs a look, found by reading them, and what of it can be mended safely."""
