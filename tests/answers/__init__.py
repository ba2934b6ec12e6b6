"""What is answered about some hundred pairs, as data and not in words: whatever alters it is seen.

``kept/`` holds the answers as they were read and found right. Values of a case are the solver's choice and stand in no
file; that there is a case, and when it holds, does.
"""
