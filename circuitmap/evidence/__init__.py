"""What was measured on this car: readings, meters, fuse drops, scans, tries and the job card."""
