"""What a finished picture becomes: SVG, PNG, PDF, DOT text, several sheets."""
