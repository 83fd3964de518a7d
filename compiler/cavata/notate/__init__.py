"""From the score to written bars: every musical decision about the page is taken here, once."""
