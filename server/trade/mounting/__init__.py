"""How the board sits in the craft: from faces that were seen or readings taken."""
