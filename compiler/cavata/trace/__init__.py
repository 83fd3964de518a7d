"""Where names sound, in any score and in a whole corpus."""
