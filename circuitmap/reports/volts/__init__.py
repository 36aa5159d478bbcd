"""How is it said what a voltmeter should show, what a bad place would show, and what readings point to?"""
