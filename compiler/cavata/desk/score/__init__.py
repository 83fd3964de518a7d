"""The score on the page, system by system, with its names and where each note came from."""
