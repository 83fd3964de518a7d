"""From LilyPond text to PDF, SVG and PNG, by LilyPond in a locked-down child process."""
