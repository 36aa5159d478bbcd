"""What was measured on this car: readings, meters, fuse drops, scans, tries and the job card.

In the order of work: `written_readings` and `written_names` read what was typed, `card_text` and `job_card` a card,
`fuse_drop` makes amperes of millivolts, `timeline` goes through the entries and says which of them speak of the car
as it is now; `evidence` is what comes out, the one value that the diagnosis is given.
"""
