"""What does a page hold that is printed or sent: report, worksheet, a platform or job to share?"""
