"""Checklists as data: rule files and house sheets in, a plan of concrete steps out.

`plan` is all that opening a job needs; `files`, which reads YAML, is imported only to begin a
job, to correct a fact, or to check a rule file.
"""
