"""What the law of a place gives the buyer, as data with its source. Not legal advice."""
