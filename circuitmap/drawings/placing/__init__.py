"""Where does everything go? Graphviz arranges, in a child process with limits; the rest is done here."""
