"""The client's page: what the stones will look like, how sure that is, and what was agreed.

`gather` reads a job, `content` says it in a client's words, `page` sets it with one template as PDF, PNG
or plain text. All words stand in one message file, ``shared/brief/en.toml``.
"""
