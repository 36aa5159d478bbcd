"""The command line, kept thin. One file for each command, imported only when that command is run; click is used only
here."""
