"""Folders of scores larger than one machine: an index in many files, read and searched by many workers."""
