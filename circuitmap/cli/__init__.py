"""The command line: thin. One file a command, imported only when that command is run; only here: click."""
