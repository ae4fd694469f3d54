"""The motors: spin test, take-off verdict, speeds and the link from board to ESC."""
