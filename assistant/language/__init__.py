"""The measurement language: words to requests, and lengths to words. The words are in grammars/."""
