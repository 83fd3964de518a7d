"""The commands: thin shells around the pipeline."""
