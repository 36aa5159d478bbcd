"""How does a question become an answer, from the files to the last line?

The only place where the stages meet. `questions` opens a platform and answers trace, live, common, list, worksheet and
check; `diagnosis` weighs readings; `job` does so for a job card; `shelf` finds what the shop has; `drawing` draws a
subset; `page` makes a report or a page to share. Each flow is a function from names and options to values; `cli` prints
them.
"""
