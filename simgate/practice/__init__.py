"""Jobs, goals, conduct, marks and debrief: judges that read records and touch nothing."""
