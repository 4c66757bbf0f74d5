"""Running studies in supervised child processes; whatever runs one is only told its id."""
