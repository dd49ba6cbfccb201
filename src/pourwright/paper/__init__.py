"""What leaves the screen: sheets for the wall and the bench, and tags that hang on a mold."""
