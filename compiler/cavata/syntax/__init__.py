"""From text to a tree of statements, each with its exact place."""
