"""What each command does; the words of the command line are in app.calls."""
