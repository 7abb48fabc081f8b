"""The terminal: reads snapshots, posts actions. No gate logic."""
