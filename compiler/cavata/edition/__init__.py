"""What is handed out of one score: the whole, and what is drawn from it for one reader."""
