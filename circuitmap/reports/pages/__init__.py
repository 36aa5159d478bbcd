"""What does a page that is printed or sent hold: a report, a worksheet, a platform or job to share?"""
