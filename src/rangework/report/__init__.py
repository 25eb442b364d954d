"""Pictures: holes drawn, and what was computed about them. The only home of matplotlib."""
