"""Speed, measured as ratios in one run."""
