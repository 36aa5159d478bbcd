"""What happened on this job? The card from intake to verdict: written, timed, judged, remembered."""
